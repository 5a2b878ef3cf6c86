// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Stage } from './labels.ts'
import type { Layout } from './layout.ts'
import { rhoGrid, rhoWeights, tieOf } from './model.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

const ties = Float64Array.from(rhoGrid, tieOf)

const logs = new Float64Array(ties.length)
/** Products are turned into logarithms before they leave the range of numbers. */
const products = new Float64Array(ties.length)
const soMany = 12

/**
 * Chance of a tie and of the outcomes of its urns, by every tie of the grid: the next copy fails with
 * (q + tie failed) / (1 + tie others). The events are summed out, so that they may be drawn afresh afterwards.
 */
class UrnLikelihood {
  #factors = 0

  begin(stage: Stage): void {
    logs.set(rhoWeights[stage].map(Math.log))
    products.fill(1)
    this.#factors = 0
  }

  add(passed: number, failed: number, pass: number, fail: number): void {
    const copies = passed + failed
    if (copies <= 1) return
    for (let other = 1; other < copies; other++) {
      // The first pass and the first failure are as likely under every tie.
      const further = other < passed ? other : 0
      const failure = other < failed ? other : 0
      for (let at = 0; at < ties.length; at++) {
        const tie = ties[at]!
        let factor = 1 / (1 + tie * other)
        if (further > 0) factor *= pass + tie * further
        if (failure > 0) factor *= fail + tie * failure
        products[at]! *= factor
      }
      if (++this.#factors === soMany) this.#flush()
    }
  }

  #flush(): void {
    for (let at = 0; at < ties.length; at++) logs[at]! += Math.log(products[at]!)
    products.fill(1)
    this.#factors = 0
  }

  draw(random: Random): number {
    this.#flush()
    const most = Math.max(...logs)
    for (let at = 0; at < ties.length; at++) products[at] = Math.exp(logs[at]! - most)
    return ties[random.index(products)]!
  }
}

const urn = new UrnLikelihood()

/** Draws how closely a plate's copies hang together, by stage, on the grid. */
export function drawTies(layout: Layout, state: State, random: Random): void {
  drawFileTie(layout, state, random)
  drawMachineTie(layout, state, random)
  drawPlateTie(layout, state, random)
}

function drawFileTie({ line: lines, printTried }: Layout, { file, fileFailures, tie }: State, random: Random): void {
  urn.begin('file')
  for (let print = 0; print < lines.length; print++) {
    const [line, bad] = [lines[print]!, fileFailures[print]!]
    urn.add(printTried[print]! - bad, bad, file.pass[line]!, file.fail[line]!)
  }
  tie[0] = urn.draw(random)
}

function drawMachineTie({ periods, periodStart, tried }: Layout, state: State, random: Random): void {
  urn.begin('machine')
  for (let period = 0; period < periods.length; period++) {
    const change = periodStart[period]! + state.change[period]!
    for (let plate = periodStart[period]!; plate < periodStart[period + 1]!; plate++) {
      const { pass, fail } = plate < change ? state.machine : state.worn
      const bad = state.machineFailures[plate]!
      urn.add(tried[plate]! - bad, bad, pass[period]!, fail[period]!)
    }
  }
  state.tie[1] = urn.draw(random)
}

function drawPlateTie({ crowding: crowdings, tried }: Layout, state: State, random: Random): void {
  urn.begin('plate')
  for (let plate = 0; plate < crowdings.length; plate++) {
    const [crowding, bad] = [crowdings[plate]!, state.plateFailures[plate]!]
    urn.add(tried[plate]! - bad, bad, state.plate.pass[crowding]!, state.plate.fail[crowding]!)
  }
  state.tie[2] = urn.draw(random)
}
