// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import { logBeta, mean, type Shape, secondMoment, shapeOfMoments } from './beta.ts'
import { type Case, groupedCases, type Likely } from './cases.ts'

/** By number of failing events of a node: how often a chain was there, and the sums of two figures that it had then. */
type Counts = { times: number[]; one: number[]; other: number[] }

/** Keeps for every node how often a chain found it to have failed so many times, and what it made of the node then. */
export class CaseCounts {
  readonly #nodes: Counts[]

  constructor(nodes: number) {
    this.#nodes = Array.from({ length: nodes }, () => ({ times: [], one: [], other: [] }))
  }

  /** @param own failing events @param x @param y the node's evidence then, its prior left out */
  addEvidence(node: number, own: number, x: number, y: number): void {
    this.#add(node, own, x, y)
  }

  /** @param own failing events @param law the node's then, its prior included */
  addLaw(node: number, own: number, law: Shape): void {
    this.#add(node, own, mean(law), secondMoment(law))
  }

  #add(node: number, own: number, one: number, other: number): void {
    const counts = this.#nodes[node]!
    while (counts.times.length <= own) for (const sums of Object.values(counts)) sums.push(0)
    counts.times[own]!++
    counts.one[own]! += one
    counts.other[own]! += other
  }

  /** A node's cases, of its evidence: with this prior they are as likely as the chain found them. */
  casesOfEvidence(node: number, prior: Shape): Case[] {
    return casesWith(
      prior,
      this.#each(node, (x, y) => ({ x, y })),
    )
  }

  /** A node's cases, of its law: with this prior they come to what the chain found, whatever priors it had meanwhile. */
  casesOfLaw(node: number, prior: Shape): Case[] {
    return casesWith(
      prior,
      this.#each(node, (first, second) => {
        const [a, b] = shapeOfMoments(first, second)
        return { x: a - prior[0], y: b - prior[1] }
      }),
    )
  }

  /** The one Beta that is nearest to a node's law. */
  shape(node: number): Shape {
    const { times, one, other } = this.#nodes[node]!
    const [all, first, second] = [times, one, other].map((values) => values.reduce((sum, value) => sum + value, 0))
    return shapeOfMoments(first! / all!, second! / all!)
  }

  #each(node: number, evidenceOf: (one: number, other: number) => { x: number; y: number }): Likely[] {
    const { times, one, other } = this.#nodes[node]!
    return times.flatMap((count, own) => {
      if (count === 0) return []
      const { x, y } = evidenceOf(one[own]! / count, other[own]! / count)
      return [{ own, chance: count, x: Math.max(0, x), y: Math.max(0, y) }]
    })
  }
}

function casesWith([a, b]: Shape, all: readonly Likely[]): Case[] {
  const before = logBeta(a, b)
  return groupedCases(all).map(({ chance, x, y }) => ({ x, y, log: Math.log(chance) + before - logBeta(a + x, b + y) }))
}
