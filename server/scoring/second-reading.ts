// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import { mean, type Shape } from './beta.ts'
import { Cases, canTellApart, type PlateEvidence, type Told } from './cases.ts'
import type { FittedSet } from './fit.ts'
import { chancesOf, type LabelTable, seenLabels, stageSets } from './labels.ts'
import { countOf, type FirstReading, messageTo, shapesFor, without, worthOf } from './outlook.ts'
import { startingRho, type Total } from './priors.ts'
import type { Report } from './reports.ts'
import { sizeOfTies } from './ties.ts'

type Options = { rho?: number; labels?: LabelTable; onlyPeriods?: boolean }

/**
 * Reads all reports once more after a fit, for what messages can't carry: for every support set and printer period the
 * cases in which its failures may have come about. A message is the one Beta nearest to "it failed, or it did not"; an
 * interval that rests on such messages ends too soon on the good side.
 *
 * Reports come with the messages that the fit has left. What a report on older supports says of the file goes in by these.
 */
export class SecondReading {
  readonly #fit: FirstReading
  readonly #rho: number
  readonly #stages: readonly (0 | 1)[]
  readonly #chances: ReadonlyMap<string, Float64Array>
  readonly #sets = new Map<string, Cases>()
  readonly #periods = new Map<string, Cases>()

  /** @param options onlyPeriods leaves the support sets out */
  constructor(fit: FirstReading, { rho = startingRho, labels = seenLabels, onlyPeriods = false }: Options = {}) {
    this.#fit = fit
    this.#rho = rho
    this.#stages = onlyPeriods ? [1] : [0, 1]
    const { table, rowOf } = chancesOf(labels)
    this.#chances = new Map(Array.from(rowOf, ([seen, row]) => [seen, table.subarray(row, row + stageSets)]))
  }

  /** @throws RangeError for a report that the fit has not read */
  add(report: Report<string>): void {
    const { tried, weights } = countOf(report, this.#rho)
    if (tried === 0) return
    const { fileWeight = 1, memberWeight = 1 } = report
    const shapes = shapesFor(this.#fit, report)
    for (const stage of this.#stages) {
      const node = this.#casesOf(report, stage, shapes)
      const isOlder = stage === 0 && fileWeight < 1
      const plate = isOlder ? undefined : this.#plate(report, { tried, stage, shapes, weights })
      if (plate && canTellApart(plate)) node.addPlate(plate, memberWeight)
      else node.addTotal(worthOf(report, stage, weights[stage]!))
    }
  }

  #casesOf({ supportSet, printerPeriod }: Report<string>, stage: 0 | 1, shapes: readonly Shape[]): Cases {
    const [nodes, name] = stage === 0 ? [this.#sets, supportSet] : [this.#periods, printerPeriod]
    const known = nodes.get(name)
    if (known) return known
    const cases = new Cases(mean(shapes[stage]!), sizeOfTies(this.#rho))
    nodes.set(name, cases)
    return cases
  }

  /** How likely each failed copy was to look as it did, whether the stage passed or failed. */
  #plate({ failures }: Report<string>, { tried, stage, shapes, weights }: Seat): PlateEvidence {
    return {
      tried,
      failures: failures.map(({ seen, copies, message }) => {
        const success = shapes.map((shape, at) =>
          mean(without(shape, messageTo(message, at), Math.min(1, copies * weights[at]!))),
        )
        return { copies, ...looks(this.#chances.get(seen)!, stage, success) }
      }),
    }
  }

  /** @returns every support set and printer period of the fit, with its cases */
  told(): { supportSets: Map<string, FittedSet & Told>; printerPeriods: Map<string, Told> } {
    return {
      supportSets: withCases(this.#fit.supportSets, this.#sets),
      printerPeriods: withCases(this.#fit.printerPeriods, this.#periods),
    }
  }
}

function withCases<Node extends Total>(totals: ReadonlyMap<string, Node>, nodes: ReadonlyMap<string, Cases>) {
  const told = (name: string, total: Node) => ({ ...total, cases: nodes.get(name)?.cases() })
  return new Map<string, Node & Told>(Array.from(totals, ([name, total]) => [name, told(name, total)]))
}

type Seat = { tried: number; stage: 0 | 1; shapes: readonly Shape[]; weights: readonly number[] }

/** Chance of a look and of what happened at the other two stages, if this one passed and if it failed. */
function looks(chances: Float64Array, stage: number, success: readonly number[]): { passed: number; failed: number } {
  const sums = { passed: 0, failed: 0 }
  for (let failed = 1; failed < stageSets; failed++) {
    let chance = chances[failed]!
    success.forEach((p, other) => {
      if (other !== stage) chance *= failed & (1 << other) ? 1 - p : p
    })
    sums[failed & (1 << stage) ? 'failed' : 'passed'] += chance
  }
  return sums
}
