import type { Draws } from './draws.ts'

/*
 * Rows of draws never change once they are made, so what is worked out of one need be worked out once. What was found goes
 * when its rows do: whoever wants it kept keeps the rows.
 */

/** Of one row, so many results are kept that differ by a number. */
const mostOfRow = 32

/** Keeps what is worked out of a row, and a number where that matters. @returns gives what is kept, or has it worked out */
export function oncePerRow<Found>(): (row: Draws, number: number | string, work: () => Found) => Found {
  const known = new WeakMap<Draws, Map<number | string, Found>>()
  return (row, number, work) => {
    const ofRow = known.get(row) ?? new Map<number | string, Found>()
    if (ofRow.has(number)) return ofRow.get(number) as Found
    if (ofRow.size >= mostOfRow) ofRow.clear()
    const found = work()
    known.set(row, ofRow.set(number, found))
    return found
  }
}

interface Place<Found> {
  next: WeakMap<Draws, Place<Found>>
  found?: Found
}

/**
 * Works something out once for rows that come together, in their order. Of what begins with one row so many results are
 * kept.
 */
export function oncePerRows<Found extends object, Others extends Draws[]>(
  work: (first: Draws, ...others: Others) => Found,
): (first: Draws, ...others: Others) => Found {
  const known = new WeakMap<Draws, { root: Place<Found>; count: number }>()
  return (first, ...others) => {
    let begun = known.get(first)
    if (!begun || begun.count >= mostOfRow) {
      begun = { root: { next: new WeakMap() }, count: 0 }
      known.set(first, begun)
    }
    let place = begun.root
    for (const row of others) {
      const next = place.next.get(row) ?? { next: new WeakMap() }
      place.next.set(row, next)
      place = next
    }
    if (!place.found) {
      place.found = work(first, ...others)
      begun.count++
    }
    return place.found
  }
}
