// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import type { Crowding, Total } from './priors.ts'
import { crowdings } from './priors.ts'

/** What one failed copy of a (report, seen) is worth to each stage: successes and failures of file, machine, plate. */
export type Message = readonly [number, number, number, number, number, number]

/** Numbers kept per site: six of the message, then its weight for machine and plate, then its weight for the file. */
export const siteSize = 8
export const siteWeight = 6
export const siteFileWeight = 7
/** Whole numbers kept per site: where its three nodes start in `shape`, and where its label's row starts in `chances`. */
export const linkSize = 4

/**
 * The model as flat arrays. A node is a support set, a printer period or a crowding class, in this order; it holds two
 * numbers in `shape` and in `prior`. A site is one (report, seen). A site's numbers fill one line of the cache (8 x 8
 * bytes), and sites stand in the order of their sets, sets in the order of their groups, so that a sweep reads memory
 * forwards; only the periods are looked up at random.
 */
export type Network = {
  readonly groups: readonly string[]
  readonly sets: readonly string[]
  readonly periods: readonly string[]
  /** where a group's sets start; one more at the end */
  readonly groupStart: Int32Array
  /** a, b of every node, prior included */
  readonly shape: Float64Array
  /** a, b of every node before any report */
  readonly prior: Float64Array
  readonly sites: Float64Array
  readonly links: Int32Array
  /** T by label and set of failed stages: eight numbers a label */
  readonly chances: Float64Array
}

export function periodNode(network: Network, period: number): number {
  return network.sets.length + period
}

export function plateNode(network: Network, crowding: Crowding): number {
  return network.sets.length + network.periods.length + crowdings.indexOf(crowding)
}

/** What the reports say about a node, its prior left out. */
export function totalOf({ shape, prior }: Network, node: number): Total {
  return { x: shape[2 * node]! - prior[2 * node]!, y: shape[2 * node + 1]! - prior[2 * node + 1]! }
}

/** Puts another prior under a node; what the reports say about it stays. */
export function changePrior({ shape, prior }: Network, node: number, a: number, b: number): void {
  shape[2 * node]! += a - prior[2 * node]!
  shape[2 * node + 1]! += b - prior[2 * node + 1]!
  prior[2 * node] = a
  prior[2 * node + 1] = b
}

/**
 * Writes a site into its network; its nodes stay as they are.
 *
 * @param nodes set, period and plate
 * @param row where its label's row of `chances` starts
 * @param weights copies' worth to printer and plate, and to the file
 */
export function placeSite(
  { links, sites }: Network,
  site: number,
  nodes: readonly number[],
  row: number,
  [weight, fileWeight]: readonly [weight: number, fileWeight: number],
  message: Message | null,
): void {
  links.set([...nodes.map((node) => 2 * node), row], linkSize * site)
  sites.set([...(message ?? [0, 0, 0, 0, 0, 0]), weight, fileWeight], siteSize * site)
}

/** Adds what a site's message is worth to its nodes. */
export function addMessage({ links, sites, shape }: Network, site: number): void {
  for (let part = 0; part < 6; part++) {
    const weight = sites[siteSize * site + (part < 2 ? siteFileWeight : siteWeight)]!
    shape[links[linkSize * site + (part >> 1)]! + (part & 1)]! += weight * sites[siteSize * site + part]!
  }
}

export function messageOf({ sites }: Network, site: number): Message {
  const at = site * siteSize
  return [sites[at]!, sites[at + 1]!, sites[at + 2]!, sites[at + 3]!, sites[at + 4]!, sites[at + 5]!]
}
