// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import type { Shape } from './beta.ts'
import type { Fit } from './fit.ts'
import { stages } from './labels.ts'
import type { Message } from './network.ts'
import { copyWeight, platePriors, type Total } from './priors.ts'
import type { Report } from './reports.ts'
import { shapeFloor } from './sweep.ts'

/** What of a fit a second reading of its reports needs. */
export type FirstReading = Pick<Fit, 'hyper' | 'supportSets' | 'printerPeriods' | 'plates'>

/**
 * What a fit takes a report's file, printer and plate for.
 *
 * @throws RangeError for a report that the fit has not read
 */
export function shapesFor(
  { hyper, supportSets, printerPeriods, plates }: FirstReading,
  { supportSet, printerPeriod, crowding }: Report<string>,
): Shape[] {
  const set = supportSets.get(supportSet)
  const period = printerPeriods.get(printerPeriod)
  if (!set || !period) throw new RangeError('the fit has not read this report')
  const [a, b] = platePriors[crowding]
  return [
    [set.priorA + set.x, set.priorB + set.y],
    [hyper.am + period.x, hyper.bm + period.y],
    [a + plates[crowding].x, b + plates[crowding].y],
  ]
}

/** Copies in all, and what one of them is worth to file, printer and plate. */
export function countOf(report: Report<string>, rho: number): { tried: number; weights: number[] } {
  const tried = report.failures.reduce((sum, { copies }) => sum + copies, report.good)
  const { fileWeight = 1, memberWeight = 1 } = report
  const weight = memberWeight * copyWeight(Math.max(1, tried), rho)
  return { tried, weights: [weight * fileWeight, weight, weight] }
}

/** The part of a message that is about one stage. */
export function messageTo(message: Message | null | undefined, stage: number): Total {
  return { x: message?.[2 * stage] ?? 0, y: message?.[2 * stage + 1] ?? 0 }
}

/** What a fit has made of a report, for one stage: its good copies and its messages. */
export function worthOf({ good, failures }: Report<string>, stage: number, weight: number): Total {
  const total = { x: good * weight, y: 0 }
  for (const { copies, message } of failures) {
    const { x, y } = messageTo(message, stage)
    total.x += copies * weight * x
    total.y += copies * weight * y
  }
  return total
}

/** A stage's shape without so much of its evidence. */
export function without([a, b]: Shape, { x, y }: Total, times = 1): Shape {
  return [Math.max(shapeFloor, a - times * x), Math.max(shapeFloor, b - times * y)]
}

/** File, printer and plate as everything else lets one expect them: the report itself taken out. */
export function outlookOf(fit: FirstReading, report: Report<string>, rho: number): Shape[] {
  const { weights } = countOf(report, rho)
  const shapes = shapesFor(fit, report)
  return stages.map((_, stage) => without(shapes[stage]!, worthOf(report, stage, weights[stage]!)))
}
