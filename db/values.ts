import type { CustomTypesConfig } from 'pg'
import { types as pgTypes } from 'pg'

/**
 * How values come out of the database: the same on both drivers, which by themselves differ in these types.
 * Keys are PostgreSQL's type numbers (`select oid, typname from pg_type`). For PGlite's `parsers`.
 */
export const parsers: Record<number, (text: string) => unknown> = {
  20: wholeNumber, // int8, thus also count(*) and sum() of integers
  1700: Number, // numeric: all of ours are measures; money is whole minor units
  1082: (text) => text, // date: a day, not an instant, so no Date that a time zone could shift
  1184: instant, // timestamptz
  17: (text) => Buffer.from(text.slice(2), 'hex'), // bytea, which arrives as \x0a0b
}

/** Array type -> the type of its elements. PGlite works these out by itself. */
const elementTypes: Record<number, number> = { 1016: 20, 1231: 1700, 1182: 1082, 1185: 1184 }
const textArray: number = 1009
const doubleArray: number = 1022

/** For the `types` of a pg pool. */
export const pgParsers: CustomTypesConfig = {
  getTypeParser(oid: number, format?: string) {
    if (format === 'binary') return pgTypes.getTypeParser(oid, format)
    if (oid === doubleArray) return doubles
    const element = parsers[elementTypes[oid] ?? 0]
    return parsers[oid] ?? (element ? arrayOf(element) : pgTypes.getTypeParser(oid, 'text'))
  },
}

/** `{0.5,1e-05}`, without nulls. Dozens come with every report, and a parser of any array takes ten times as long. */
function doubles(text: string): number[] {
  return text === '{}' ? [] : text.slice(1, -1).split(',').map(Number)
}

function arrayOf(element: (text: string) => unknown) {
  const split: (text: string) => (string | null)[] = pgTypes.getTypeParser(textArray, 'text')
  return (text: string) => split(text).map((item) => (item === null ? null : element(item)))
}

/** @throws RangeError rather than give a number that has lost its last digits in silence */
function wholeNumber(text: string): number {
  const value = Number(text)
  if (!Number.isSafeInteger(value)) throw new RangeError(`${text} does not fit into a JavaScript number`)
  return value
}

/** `2026-03-01 08:15:00.5+00` as PostgreSQL writes it. @throws RangeError on infinity and on years before Christ */
function instant(text: string): Date {
  const value = new Date(text.replace(' ', 'T').replace(/([+-]\d\d)$/, '$1:00'))
  if (Number.isNaN(value.getTime())) throw new RangeError(`${text} is not a time that can be represented`)
  return value
}
