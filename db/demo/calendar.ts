import { v7 } from 'uuid'
import { type Random, randomFrom } from './random.ts'

/**
 * The demo counts in days before today, so that its story is the same whenever it is made. Nothing happens today: all
 * is over by yesterday evening.
 */
export interface Calendar {
  /** @param ago days before today; negative: days ahead @returns `YYYY-MM-DD` */
  day(ago: number): string
  /** An instant on that day (UTC). @param hour 0-24, fractions allowed */
  at(ago: number, hour: number): Date
  /** After everything that has happened. */
  end: Date
}

const dayMs = 86_400_000

/** @param today `YYYY-MM-DD` */
export function calendarOf(today: string): Calendar {
  const midnight = Date.parse(`${today}T00:00:00Z`)
  if (Number.isNaN(midnight)) throw new RangeError(`${today} is no day`)
  const at = (ago: number, hour: number) => new Date(midnight - ago * dayMs + Math.round(hour * 3_600_000))
  return { day: (ago) => at(ago, 0).toISOString().slice(0, 10), at, end: at(1, 23) }
}

/** An instant between two, the ends included. */
export const between = (from: Date, to: Date, random: Random) =>
  new Date(Math.round(from.getTime() + random.next() * (to.getTime() - from.getTime())))

export const later = (than: Date, minutes: number) => new Date(than.getTime() + minutes * 60_000)

/** What the makers of rows share. */
export interface Making {
  calendar: Calendar
  /** A UUIDv7 of that instant; ids of one instant keep the order in which they are made. */
  id(at: Date): string
}

export function makingOn(today: string): Making {
  const random = randomFrom('ids')
  let made = 0
  return {
    calendar: calendarOf(today),
    id: (at) => v7({ msecs: at.getTime(), seq: made++, random: random.bytes(16) }),
  }
}
