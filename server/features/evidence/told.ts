import type { Told } from '../../scoring/cases.ts'
import type { Total } from '../../scoring/priors.ts'

/*
 * Cases as they are stored: the total that they were worked out for, x and y, and then x, y and the logarithm of the
 * weight of each. What came since shifts them all alike, until the next full fit works them out anew.
 */

/** `cases` of a row, as stored. */
export type StoredCases = { cases?: readonly number[] | null | undefined }

/** @returns null for a total without cases */
export function storedCases({ x, y, cases }: Told): number[] | null {
  return cases ? [x, y, ...cases.flatMap((one) => [one.x, one.y, one.log])] : null
}

const rounding = 1e-9

/** A total with its cases; without them once evidence was taken back, since nobody knows which case it belonged to. */
export function toldOf<Node extends Total>(node: Node, stored: readonly number[] | null | undefined): Node & Told {
  if (!stored) return { ...node, cases: undefined }
  const [baseX = 0, baseY = 0, ...numbers] = stored
  if (node.x + node.y < baseX + baseY - rounding) return { ...node, cases: undefined }
  const [dx, dy] = [node.x - baseX, node.y - baseY]
  const cases = Array.from({ length: numbers.length / 3 }, (_, index) => {
    const [x = 0, y = 0, log = 0] = numbers.slice(3 * index)
    return { x: Math.max(0, x + dx), y: Math.max(0, y + dy), log }
  })
  return { ...node, cases }
}
