import { Refusal } from '../refusal.ts'

/** What a figure is split into, and what a browser can hold: all files together, one that is text (it becomes a single string), and what a 3MF unpacks to. */
export const mostFiles = 100
export const mostBytes = 600e6
export const mostTextBytes = 300e6
export const mostUnpackedBytes = 1e9
/** All files together; what an edge is told by must fit into 53 bits (edges.ts). */
export const mostTriangles = 12e6

/** @throws Refusal when there are more than can be measured */
export function checkTriangles(count: number): void {
  if (count <= mostTriangles) return
  throw new Refusal(
    `There are ${inMillions(count)} million triangles here; up to ${mostTriangles / 1e6} million can be measured.`,
  )
}

const inMillions = (count: number) => (count / 1e6).toLocaleString('en', { maximumFractionDigits: 1 })

export const megabytes = (bytes: number): string => `${Math.round(bytes / 1e6).toLocaleString('en')} MB`
