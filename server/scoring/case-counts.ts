// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import { logBeta, mean, type Shape, secondMoment, shapeOfMoments } from './beta.ts'
import { type Case, groupedCases } from './cases.ts'

/** By number of failing events of a node: how often a chain was there, and the sums of what it kept. */
type Counts = { times: number[]; a: number[]; b: number[] }

/** Keeps for every node how often a chain found it to have failed so many times, and with what evidence. */
export class CaseCounts {
  readonly #nodes: Counts[]

  constructor(nodes: number) {
    this.#nodes = Array.from({ length: nodes }, () => ({ times: [], a: [], b: [] }))
  }

  /** @param own failing events @param a @param b what is kept of the node's evidence then */
  add(node: number, own: number, a: number, b: number): void {
    const { times, a: sumA, b: sumB } = this.#nodes[node]!
    while (times.length <= own) {
      times.push(0)
      sumA.push(0)
      sumB.push(0)
    }
    times[own]!++
    sumA[own]! += a
    sumB[own]! += b
  }

  /**
   * A node's cases: with this prior they come to what the chain found.
   *
   * @param prior of the node, as the figures for show will have it
   * @param included in what was kept of its evidence
   */
  cases(node: number, prior: Shape, included: Shape | readonly [0, 0]): Case[] {
    const { times, a, b } = this.#nodes[node]!
    const all = times.flatMap((count, own) => {
      const [x, y] = [a[own]! / count - included[0], b[own]! / count - included[1]]
      return count === 0 ? [] : [{ own, chance: count, x: Math.max(0, x), y: Math.max(0, y) }]
    })
    const before = logBeta(...prior)
    return groupedCases(all).map(({ chance, x, y }) => {
      return { x, y, log: Math.log(chance) + before - logBeta(prior[0] + x, prior[1] + y) }
    })
  }

  /** The one Beta that is nearest to what the chain found, where all of it was kept, prior included. */
  shape(node: number): Shape {
    const { times, a, b } = this.#nodes[node]!
    const all = times.reduce((sum, count) => sum + count, 0)
    let [first, second] = [0, 0]
    times.forEach((count, own) => {
      if (count === 0) return
      const part: Shape = [a[own]! / count, b[own]! / count]
      first += (count / all) * mean(part)
      second += (count / all) * secondMoment(part)
    })
    return shapeOfMoments(first, second)
  }
}
