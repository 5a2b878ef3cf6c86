// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { logBeta, type Shape } from './beta.ts'
import type { Part } from './mixture.ts'
import { linkSize, messageOf, type Network, siteSize, siteWeight, totalOf } from './network.ts'
import type { Hyper } from './priors.ts'
import { Random } from './random.ts'
import { type SculptorNodes, sculptorNodes } from './sculptor-grid.ts'

/**
 * Gibbs sampling from the exact posterior, for copies that count in full: given every node's success, which stages
 * failed on each failed copy; given these, the sculptors' means and every node's success. Far slower than expectation
 * propagation, but right also where stages hang together.
 *
 * What is kept is no sample of successes but, for every node, how often it was the fault of how many copies (for sets,
 * under which value of the sculptor's mean): each such state leaves a Beta, and the posterior is their mixture.
 *
 * @see Tanner & Wong (1987), The calculation of posterior distributions by data augmentation, JASA 82, 528-540
 * @see Gelfand & Smith (1990), Sampling-based approaches to calculating marginal densities, JASA 85, 398-409
 */
export class GibbsChain {
  readonly #network: Network
  readonly #k: number
  readonly #random: Random
  readonly #sculptor: SculptorNodes
  readonly #sculptorWeight: Float64Array
  /** by set and copies it is blamed for: what that says of the sculptor's mean */
  readonly #seen: Float64Array[][] = []
  /** p and 1 - p of every node */
  readonly #chances: Float64Array
  /** by node: copies that passed through it; how many of them failed somewhere; how many it is blamed for right now */
  readonly #copies: Float64Array
  readonly #failed: Int32Array
  readonly #blamed: Int32Array
  /** by node, how often it was blamed for 0, 1, … copies; for sets one such row a value of the sculptor's mean */
  readonly #counts: Int32Array[]
  readonly #cumulated = new Float64Array(8)

  /**
   * @param network settled by expectation propagation, which is where the chain starts; weights must be whole numbers
   * @param seed the same seed gives the same chain
   */
  constructor(network: Network, hyper: Hyper, seed: number) {
    const nodes = network.shape.length / 2
    this.#network = network
    this.#k = hyper.k
    this.#random = new Random(seed)
    this.#sculptor = sculptorNodes(hyper)
    this.#sculptorWeight = new Float64Array(this.#sculptor.mu.length)
    this.#chances = new Float64Array(2 * nodes)
    this.#copies = Float64Array.from(
      { length: nodes },
      (_, node) => totalOf(network, node).x + totalOf(network, node).y,
    )
    this.#failed = new Int32Array(nodes)
    this.#blamed = new Int32Array(nodes)
    this.#countCopies()
    this.#counts = Array.from(this.#failed, (failed, node) => {
      return new Int32Array((failed + 1) * (node < network.sets.length ? this.#sculptor.mu.length : 1))
    })
    network.shape.forEach((_, at) => {
      if (at % 2 === 0) this.#setSuccess(at / 2, Math.log(network.shape[at]!), Math.log(network.shape[at + 1]!))
    })
    this.#drawBlame()
  }

  /** Undoes what messages made of failed copies: here each counts as one, passed or failed. */
  #countCopies(): void {
    const { sites, links } = this.#network
    for (let site = 0; site < sites.length / siteSize; site++) {
      const message = messageOf(this.#network, site)
      const copies = sites[siteSize * site + siteWeight]!
      for (let stage = 0; stage < 3; stage++) {
        const node = links[linkSize * site + stage]! / 2
        this.#failed[node]! += copies
        this.#copies[node]! += copies * (1 - message[2 * stage]! - message[2 * stage + 1]!)
      }
    }
  }

  run(sweeps: number, counting: boolean): void {
    for (let sweep = 0; sweep < sweeps; sweep++) this.#sweep(counting)
  }

  #sweep(counting: boolean): void {
    const { groups, groupStart, prior, sets } = this.#network
    for (let group = 0; group < groups.length; group++) {
      const [first, end] = [groupStart[group]!, groupStart[group + 1]!]
      const at = this.#drawSculptor(first, end)
      const [a, b] = [this.#k * this.#sculptor.mu[at]!, this.#k * this.#sculptor.rest[at]!]
      for (let set = first; set < end; set++) this.#drawSuccess(set, a, b, at, counting)
    }
    for (let node = sets.length; node < this.#copies.length; node++) {
      this.#drawSuccess(node, prior[2 * node]!, prior[2 * node + 1]!, 0, counting)
    }
    this.#drawBlame()
  }

  /**
   * The sculptor's mean, as a place in its grid, given how many copies its sets are blamed for; their success is
   * integrated out, or a set that never failed would hold the mean to the very chance it drew last.
   */
  #drawSculptor(first: number, end: number): number {
    const weight = this.#sculptorWeight
    weight.set(this.#sculptor.logPrior)
    for (let set = first; set < end; set++) {
      const seen = this.#chanceOfSeen(set, this.#blamed[set]!)
      for (let at = 0; at < weight.length; at++) weight[at]! += seen[at]!
    }
    const most = weight.reduce((one, other) => Math.max(one, other), Number.NEGATIVE_INFINITY)
    let sum = 0
    for (let at = 0; at < weight.length; at++) {
      sum += Math.exp(weight[at]! - most)
      weight[at] = sum
    }
    const drawn = sum * this.#random.uniform()
    let at = 0
    while (at < weight.length - 1 && drawn > weight[at]!) at++
    return at
  }

  /** By the sculptor's mean, log of B(k mu + good, k (1 - mu) + blamed) / B(k mu, k (1 - mu)); worked out once each. */
  #chanceOfSeen(set: number, blamed: number): Float64Array {
    this.#seen[set] ??= []
    const known = this.#seen[set]![blamed]
    if (known) return known
    const { mu, rest, logBeta: logBetaBefore } = this.#sculptor
    const good = this.#copies[set]! - blamed
    const made = mu.map((mean, at) => logBeta(this.#k * mean + good, this.#k * rest[at]! + blamed) - logBetaBefore[at]!)
    this.#seen[set]![blamed] = made
    return made
  }

  #drawSuccess(node: number, a: number, b: number, at: number, counting: boolean): void {
    const blamed = this.#blamed[node]!
    if (counting) this.#counts[node]![at * (this.#failed[node]! + 1) + blamed]!++
    const logGood = this.#random.logGamma(a + this.#copies[node]! - blamed)
    this.#setSuccess(node, logGood, this.#random.logGamma(b + blamed))
  }

  #setSuccess(node: number, logGood: number, logBad: number): void {
    const most = Math.max(logGood, logBad)
    const logSum = most + Math.log(Math.exp(logGood - most) + Math.exp(logBad - most))
    this.#chances[2 * node] = Math.exp(logGood - logSum)
    this.#chances[2 * node + 1] = Math.exp(logBad - logSum)
  }

  /** Draws for every failed copy which stages failed. */
  #drawBlame(): void {
    const { sites, links } = this.#network
    this.#blamed.fill(0)
    for (let site = 0; site < sites.length / siteSize; site++) {
      this.#cumulate(linkSize * site)
      for (let copy = sites[siteSize * site + siteWeight]!; copy > 0; copy--) {
        const drawn = this.#cumulated[7]! * this.#random.uniform()
        let failed = 1
        while (failed < 7 && drawn > this.#cumulated[failed]!) failed++
        for (let stage = 0; stage < 3; stage++) {
          if (failed & (1 << stage)) this.#blamed[links[linkSize * site + stage]! / 2]!++
        }
      }
    }
  }

  /** Running sums of the chances of the sets of failed stages at one site. */
  #cumulate(link: number): void {
    const { links, chances } = this.#network
    const row = links[link + 3]!
    let sum = 0
    for (let failed = 1; failed < 8; failed++) {
      let chance = chances[row + failed]!
      for (let stage = 0; stage < 3; stage++) {
        chance *= this.#chances[links[link + stage]! + ((failed >> stage) & 1)]!
      }
      sum += chance
      this.#cumulated[failed] = sum
    }
  }

  /** The posterior of a node's success, from all sweeps that counted. */
  partsOf(node: number): Part[] {
    const counts = this.#counts[node]!
    const total = counts.reduce((sum, count) => sum + count, 0)
    const width = this.#failed[node]! + 1
    const parts: Part[] = []
    counts.forEach((count, state) => {
      if (count === 0) return
      const blamed = state % width
      const [a, b] = this.#priorOf(node, Math.floor(state / width))
      parts.push({ weight: count / total, shape: [a + this.#copies[node]! - blamed, b + blamed] })
    })
    return parts
  }

  #priorOf(node: number, at: number): Shape {
    const { prior, sets } = this.#network
    if (node >= sets.length) return [prior[2 * node]!, prior[2 * node + 1]!]
    return [this.#k * this.#sculptor.mu[at]!, this.#k * this.#sculptor.rest[at]!]
  }
}
