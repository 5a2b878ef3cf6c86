import type { Draws } from './draws.ts'

/*
 * Rows of draws never change once they are made, so what is worked out of one need be worked out once. What was found goes
 * when its first row does: whoever wants it kept keeps that row.
 */

/** Of one row, so many results are kept that differ by what comes with it. */
const mostOfRow = 32

/** Tells rows apart by what they are, not by what stands in them. */
const numbers = new WeakMap<Draws, number>()
let rows = 0

function numberOf(row: Draws): number {
  const number = numbers.get(row) ?? rows++
  numbers.set(row, number)
  return number
}

type Together = readonly [Draws, ...(Draws | number | string)[]]

/** Keeps what is worked out of a row, with others and whatever else matters. @returns gives it, or has it worked out */
export function oncePerRow<Found extends {}>(): (of: Together, work: () => Found) => Found {
  const kept = new WeakMap<Draws, Map<string, Found>>()
  return ([row, ...others], work) => {
    const ofRow = kept.get(row) ?? new Map<string, Found>()
    const key = others.map((one) => (typeof one === 'object' ? numberOf(one) : one)).join()
    const known = ofRow.get(key)
    if (known !== undefined) return known
    if (ofRow.size >= mostOfRow) ofRow.clear()
    const found = work()
    kept.set(row, ofRow.set(key, found))
    return found
  }
}
