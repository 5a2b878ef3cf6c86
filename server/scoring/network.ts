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

/** Sites by themselves: a network's, or some that are still to be laid out. */
export type Sites = Pick<Network, 'sites' | 'links'>

export function emptySites(count: number): Sites {
  return { sites: new Float64Array(siteSize * count), links: new Int32Array(linkSize * count) }
}

/**
 * Writes a site down; its nodes stay as they are.
 *
 * @param nodes set, period and plate
 * @param row where its label's row of `chances` starts
 * @param weights copies' worth to printer and plate, and to the file
 */
export function placeSite(
  { links, sites }: Sites,
  site: number,
  [set, period, plate]: readonly [set: number, period: number, plate: number],
  row: number,
  [weight, fileWeight]: readonly [weight: number, fileWeight: number],
  message: Message | null,
): void {
  const link = linkSize * site
  links[link] = 2 * set
  links[link + 1] = 2 * period
  links[link + 2] = 2 * plate
  links[link + 3] = row
  const at = siteSize * site
  for (let part = 0; part < 6; part++) sites[at + part] = message ? message[part]! : 0
  sites[at + siteWeight] = weight
  sites[at + siteFileWeight] = fileWeight
}

/** Copies a site, links included, from one place to another. */
export function copySite(from: Sites, at: number, to: Sites, place: number): void {
  for (let part = 0; part < siteSize; part++) to.sites[siteSize * place + part] = from.sites[siteSize * at + part]!
  for (let part = 0; part < linkSize; part++) to.links[linkSize * place + part] = from.links[linkSize * at + part]!
}

/** Adds what a site's message is worth to its nodes. */
export function addMessage({ links, sites, shape }: Network, site: number): void {
  const link = linkSize * site
  const at = siteSize * site
  const weight = sites[at + siteWeight]!
  const fileWeight = sites[at + siteFileWeight]!
  shape[links[link]!]! += fileWeight * sites[at]!
  shape[links[link]! + 1]! += fileWeight * sites[at + 1]!
  shape[links[link + 1]!]! += weight * sites[at + 2]!
  shape[links[link + 1]! + 1]! += weight * sites[at + 3]!
  shape[links[link + 2]!]! += weight * sites[at + 4]!
  shape[links[link + 2]! + 1]! += weight * sites[at + 5]!
}

export function messageOf({ sites }: Network, site: number): Message {
  const at = site * siteSize
  return [sites[at]!, sites[at + 1]!, sites[at + 2]!, sites[at + 3]!, sites[at + 4]!, sites[at + 5]!]
}
