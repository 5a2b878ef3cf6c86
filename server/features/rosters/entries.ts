import { sql } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../../db/connect.ts'
import { often, unseen } from '../../../db/often.ts'
import { baseOf } from '../../http/base.ts'
import type { Group } from '../../http/group.ts'
import { fromMinor, type Money } from '../../http/money.ts'
import { invalid } from '../../http/problem.ts'
import { addRow } from '../../http/rows.ts'
import { shadowOfUnit } from '../catalogue/measures/drawn.ts'
import { priceColumns } from '../catalogue/units/queries.ts'
import { exchangeInto } from '../requests/answers/rules.ts'
import { army } from './army/queries.ts'
import { linesIn, type ParsedLine, parseRoster } from './paste/parse.ts'
import { type LookedUp, unitsNearBeside } from './paste/queries.ts'
import { decide } from './paste/rules.ts'
import { retailMinor } from './rules.ts'
import { type Bracketed, type Entry, mostEntries } from './schema.ts'

const standIns = sql<number>`(select count(*)::integer from file_unit where unit_id = roster_entry.unit_id)`

/** Of the stand-in that was noted last, of those whose height is known. */
const heightOfStandIn = sql<number | null>`(
  select file.height_mm from file_unit join file on file.id = file_unit.file_id
  where file_unit.unit_id = roster_entry.unit_id and file.height_mm is not null
  order by file.id desc limit 1
)`

/** The newest open request for the unit, whoever asked. */
const askedFor = sql<{ requestId: string; at: string } | null>`(
  select json_build_object('requestId', request.id, 'at', request.created_at) from request
  where request.unit_id = roster_entry.unit_id and state = 'open'
  order by request.id desc limit 1
)`

interface Which {
  rosterIds: readonly string[]
  ids?: readonly string[] | undefined
  /** the shadows of the first so many of each roster alone */
  drawn?: number
}

/** The entries of rosters, each roster's in its order. */
export const entryRows = often((db, { rosterIds, ids, drawn }: Which) => {
  const rosters = unseen(rosterIds, 'uuid[]')
  const place = sql`row_number() over (partition by roster_entry.roster_id order by roster_entry.place, roster_entry.id)`
  const isDrawn = drawn === undefined ? sql`true` : sql`${place} <= ${drawn}::integer`
  return db
    .selectFrom('rosterEntry')
    .innerJoin(army(sql`select unnest(${rosters})`).as('army'), 'army.entryId', 'rosterEntry.id')
    .leftJoin('unit', 'unit.id', 'rosterEntry.unitId')
    .select(['army.toBuy', 'army.toPrint', 'army.printed', 'army.built', 'army.painted'])
    .select(['rosterEntry.id', 'rosterEntry.rosterId', 'rosterEntry.place', 'words', 'unitId', 'models'])
    .select(['rosterEntry.retailPriceMinor', 'rosterEntry.retailPriceCurrency', 'retailPer'])
    .select(['unit.name', 'unit.setting', 'unit.scaleMm', 'unit.modelsPerUnit'])
    .select(['unit.baseShape', 'unit.baseWidthMm', 'unit.baseLengthMm'])
    .select(['unit.retailPriceMinor as unitPriceMinor', 'unit.retailPriceCurrency as unitPriceCurrency'])
    .select([standIns.as('standIns'), heightOfStandIn.as('heightMm'), askedFor.as('asked')])
    .select(sql<Entry['shadow']>`case when ${isDrawn} then ${shadowOfUnit('rosterEntry.unitId')} end`.as('shadow'))
    .where('rosterEntry.rosterId', '=', sql<string>`any(${rosters})`)
    .$if(ids !== undefined, (query) =>
      query.where('rosterEntry.id', '=', sql<string>`any(${unseen(ids ?? [], 'uuid[]')})`),
    )
    .orderBy('rosterEntry.place')
    .orderBy('rosterEntry.id')
})

export type EntryRow = Awaited<ReturnType<typeof entryRows>>[number]

/** The entries of a roster in its order; of some ids alone where given. */
export const entriesOf = async (db: Db, rosterId: string, ids?: string[]): Promise<EntryRow[]> =>
  ids?.length === 0 ? [] : entryRows(db, { rosterIds: [rosterId], ids })

/**
 * Adds what may be meant by those without a unit, and what their boxes cost.
 *
 * @param isMine whether the owner asks: how far the models have come tells of what they have, so nobody else is told
 * @param known what was looked up before
 */
export async function shownEntries(
  db: Db,
  group: Group,
  rows: EntryRow[],
  isMine = true,
  known?: LookedUp,
): Promise<Entry[]> {
  const exchange = exchangeInto(group)
  const unknown = rows.filter(({ unitId }) => unitId === null).map(({ words }) => words)
  const near = await unitsNearBeside(db, unknown, known)
  return rows.map((row) => {
    const found = row.unitId === null ? decide(near.get(row.words) ?? []) : { nearest: [] }
    const nearest = 'unit' in found ? [found.unit] : found.nearest
    const retail = retailMinor(row, exchange)
    const { asked } = row
    return {
      id: row.id,
      words: row.words,
      unit: unitOf(row),
      nearest,
      models: row.models,
      retailPrice: moneyOf(row.retailPriceMinor, row.retailPriceCurrency),
      retailPer: row.retailPer,
      retail: retail === null ? null : fromMinor(retail, group.currency),
      standIns: row.standIns,
      heightMm: row.heightMm,
      asked: asked && { requestId: asked.requestId, at: new Date(asked.at).toISOString() },
      shadow: row.shadow,
      state: isMine ? stateOf(row) : null,
    }
  })
}

export const stateOf = ({ toBuy, toPrint, printed, built, painted }: EntryRow) => ({
  toBuy,
  toPrint,
  printed,
  built,
  painted,
})

export function unitOf({ unitId: id, name, setting, scaleMm, modelsPerUnit, ...row }: EntryRow): Entry['unit'] {
  if (id === null || name === null || setting === null || scaleMm === null || modelsPerUnit === null) return null
  return { id, name, setting, scaleMm, modelsPerUnit, base: baseOf(row) }
}

const moneyOf = (minor: number | null, currency: string | null) =>
  minor === null || currency === null ? null : fromMinor(minor, currency)

/** @param path where the price stands in the body @throws Problem 422 for a currency that the group keeps no rate for */
export function expectRates({ currency, rates }: Group, prices: readonly (Money | null | undefined)[], path: string) {
  const unknown = new Set(prices.flatMap((price) => (price ? [price.currency] : [])))
  const missing = [...unknown].filter((code) => code !== currency && !Object.hasOwn(rates, code))
  if (missing.length > 0)
    throw invalid(
      path,
      `The group has no exchange rate for ${missing.join(', ')}: a steward can note one in the settings.`,
    )
}

/**
 * Looks up what the lines of a pasted list may mean. That takes its time with a long one, so it is done before any
 * transaction: the embedded database has a single connection, and nobody else would have their turn in between.
 *
 * @returns nothing for a list that is too long to be added
 */
export async function lookUp(db: Db, group: Group, text: string): Promise<LookedUp> {
  if (linesIn(text).length > mostEntries) return new Map()
  return unitsNearBeside(db, namesIn(parseRoster(text, group.currency).lines), undefined)
}

const namesIn = (lines: readonly ParsedLine[]) =>
  lines.flatMap(({ words, whole }) => (whole === undefined ? words : [words, whole]))

/** A pasted list, with what was looked up of it. */
export interface Pasted {
  text: string
  bracketed?: Bracketed | undefined
  known?: LookedUp | undefined
}

/**
 * Adds a pasted list at the end of a roster: each line as it stands, with its unit where that is beyond doubt.
 *
 * @returns ids of the new entries
 * @throws Problem 422 at `/bracketed` where a line has two numbers and nobody said which one counts; at `/text`: a line that can't be kept, too many, or a price without a rate. Nothing is added then.
 */
export async function addPasted(
  trx: Db,
  group: Group,
  rosterId: string,
  { text, bracketed, known }: Pasted,
): Promise<string[]> {
  const lines = (await readPasted(trx, group, rosterId, text)).map(counted(bracketed))
  const near = await unitsNearBeside(trx, namesIn(lines), known)
  const first = (await lastPlace(trx, rosterId)) + 1
  const rows = lines.map(({ retailPrice, ...line }, index) => {
    const isName = line.whole !== undefined && near.get(line.whole)?.some(({ exact }) => exact)
    const words = isName ? (line.whole ?? '') : line.words
    const models = isName ? null : line.models
    const found = decide(near.get(words) ?? [])
    const unit = 'unit' in found ? found.unit : undefined
    return {
      id: v7(),
      rosterId,
      place: first + index,
      words,
      unitId: unit?.id ?? null,
      models: models ?? unit?.modelsPerUnit ?? 1,
      ...priceColumns(retailPrice),
    }
  })
  if (rows.length > 0) await addRow(trx, 'rosterEntry', rows)
  return rows.map(({ id }) => id)
}

/** How many models a line with two numbers means. */
const counted =
  (bracketed: Bracketed | undefined) =>
  ({ each, ...line }: ParsedLine): ParsedLine => {
    if (each === undefined || bracketed === 'all') return line
    if (bracketed === 'each') return { ...line, models: each }
    const words = `Line ${line.line} has two numbers: ${line.models} ${line.words} in all, or ${each}?`
    throw invalid('/bracketed', words)
  }

async function readPasted(trx: Db, group: Group, rosterId: string, text: string): Promise<ParsedLine[]> {
  await expectRoom(trx, rosterId, linesIn(text).length, '/text')
  const { lines, problems } = parseRoster(text, group.currency)
  if (problems.length > 0) throw invalid('/text', problemWords(problems))
  const prices = lines.map(({ retailPrice }) => retailPrice)
  expectRates(group, prices, '/text')
  return lines
}

/** More than these nobody mends at a time. */
const mostProblems = 8

function problemWords(problems: { line: number; message: string }[]): string {
  const first = problems.slice(0, mostProblems).map(({ line, message }) => `Line ${line}: ${message}`)
  const more = problems.length - first.length
  return [...first, ...(more > 0 ? [`And ${more} more lines.`] : [])].join(' ')
}

/** @throws Problem 422 when the roster would become too long */
export async function expectRoom(trx: Db, rosterId: string, more: number, path: string): Promise<void> {
  const { held } = await trx
    .selectFrom('rosterEntry')
    .select((eb) => eb.fn.countAll<number>().as('held'))
    .where('rosterId', '=', rosterId)
    .executeTakeFirstOrThrow()
  if (held + more <= mostEntries) return
  const these = more === 1 ? 'this is 1 more' : `these are ${more} more`
  const words = held === 0 ? `this has ${more}` : `it has ${held}, and ${these}`
  throw invalid(path, `A roster has at most ${mostEntries} entries: ${words}.`)
}

/** Place of the last entry, 0 while there is none. */
export async function lastPlace(trx: Db, rosterId: string): Promise<number> {
  const { last } = await trx
    .selectFrom('rosterEntry')
    .select((eb) => eb.fn.max('place').as('last'))
    .where('rosterId', '=', rosterId)
    .executeTakeFirstOrThrow()
  return last ?? 0
}
