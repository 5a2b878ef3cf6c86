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
  const [a, b, priorA, priorB] = [shape[2 * node], shape[2 * node + 1], prior[2 * node], prior[2 * node + 1]]
  if (a === undefined || b === undefined || priorA === undefined || priorB === undefined) {
    throw new RangeError(`no node ${node}`)
  }
  return { x: a - priorA, y: b - priorB }
}

/** Puts another prior under a node; what the reports say about it stays. */
export function changePrior({ shape, prior }: Network, node: number, a: number, b: number): void {
  const at = 2 * node
  shape[at] = (shape[at] ?? 0) + a - (prior[at] ?? 0)
  shape[at + 1] = (shape[at + 1] ?? 0) + b - (prior[at + 1] ?? 0)
  prior[at] = a
  prior[at + 1] = b
}

export function messageOf({ sites }: Network, site: number): Message {
  const at = site * siteSize
  return Array.from(sites.subarray(at, at + 6)) as unknown as Message
}
