import { type SelectQueryBuilder, sql } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import type { Tables } from '../../../../db/tables.ts'
import { baseColumns, baseOf } from '../../../http/base.ts'
import { wordsOf } from '../../../http/fields.ts'
import { fromMinor, type Money, toMinor } from '../../../http/money.ts'
import { type Asked, type Page, pageByName, shownPage } from '../../../http/paging.ts'
import { conflict, notFound } from '../../../http/problem.ts'
import { addRow, changeRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import type { ChangedUnit, NewUnit, Unit } from './schema.ts'

export const units = (db: Db) =>
  db
    .selectFrom('unit')
    .select(['unit.id', 'unit.name', 'aliases', 'setting', 'unit.scaleMm', 'modelsPerUnit', 'unit.version'])
    .select(['unit.baseShape', 'unit.baseWidthMm', 'unit.baseLengthMm', 'retailPriceMinor', 'retailPriceCurrency'])
    .select(['unit.createdAt', 'unit.createdBy'])
    .select(sql<number>`(select count(*)::integer from file_unit where unit_id = unit.id)`.as('standIns'))

type Row = Awaited<ReturnType<ReturnType<typeof units>['executeTakeFirstOrThrow']>>

export function shownUnit(row: Row): Unit {
  const { retailPriceMinor: minor, retailPriceCurrency: currency } = row
  return {
    id: row.id,
    name: row.name,
    aliases: row.aliases,
    setting: row.setting,
    scaleMm: row.scaleMm,
    base: baseOf(row),
    modelsPerUnit: row.modelsPerUnit,
    retailPrice: minor === null || currency === null ? null : fromMinor(minor, currency),
    standIns: row.standIns,
    createdAt: row.createdAt.toISOString(),
    version: row.version,
  }
}

/** What a box costs, in columns. */
export const priceColumns = (price: Money | null | undefined) => ({
  retailPriceMinor: price ? toMinor(price) : null,
  retailPriceCurrency: price?.currency ?? null,
})

/** A page of the units: by name, or the nearest first when something is looked for. */
export async function listUnits(db: Db, { q, ...asked }: Asked & { q?: string | undefined }): Promise<Page<Unit>> {
  const words = wordsOf(q)
  if (words) {
    const found = await nearUnits(units(db), words, asked.limit).execute()
    return { items: found.map(shownUnit), next: null }
  }
  return shownPage(await pageByName(units(db), 'unit', asked), shownUnit)
}

// 0.35 lets "fen wardns" and a transposed letter through and keeps unrelated names out (tried on the demo's names).
const likeness = 0.35

/** Narrows to the units whose name or alias holds the words or comes near them, nearest first. */
function nearUnits<Out>(query: SelectQueryBuilder<Tables, 'unit', Out>, words: string, limit: number) {
  const plainWords = sql`replace(replace(plain(${words}), '%', ''), '_', '')`
  const near = sql<number>`word_similarity(${plainWords}, unit.search)`
  const holds = sql<boolean>`strpos(unit.search, ${plainWords}) > 0`
  return (
    query
      // As an array, so that these are looked up before anything is compared: PostgreSQL takes a thousand for likely.
      .where(sql<boolean>`unit.id = any(array(select near_units(${plainWords}, ${limit}::integer)))`)
      .where((eb) => eb.or([eb(near, '>=', likeness), holds]))
      .orderBy(holds, 'desc')
      .orderBy(near, 'desc')
      .orderBy('unit.name')
      .limit(limit)
  )
}

/** @returns null where there is none */
export async function findUnit(db: Db, id: string): Promise<Unit | null> {
  const row = await units(db).where('unit.id', '=', id).executeTakeFirst()
  return row ? shownUnit(row) : null
}

/** @throws Problem 404 */
export async function readUnit(db: Db, id: string): Promise<Unit> {
  const unit = await findUnit(db, id)
  if (!unit) throw notFound('unit')
  return unit
}

/** @throws Problem 409 when the unit exists already under this name, setting and scale */
export async function addUnit(db: Db, memberId: string, unit: NewUnit): Promise<Unit> {
  const { base, retailPrice, ...columns } = unit
  const id = v7()
  const row = { id, ...columns, ...baseColumns(base), ...priceColumns(retailPrice), createdBy: memberId }
  await addRow(db, 'unit', row).catch(refuseTwin)
  return readUnit(db, id)
}

export const whoChangesUnits = 'Only whoever added a unit, or a steward, can change it.'

/** Changes a unit: its author, or a steward. @throws Problem 403, 404, 409 (another unit has this name), 412 */
export async function changeUnit(db: Db, viewer: Viewer, id: string, change: ChangedUnit, wanted?: Wanted) {
  const { createdBy: ownerId, version } = await unitAuthor(db, id)
  const meant = expectChange(viewer, { ownerId, version }, whoChangesUnits, wanted)
  const { base, retailPrice, ...columns } = change
  const told = {
    ...columns,
    ...(base !== undefined && baseColumns(base)),
    ...(retailPrice !== undefined && priceColumns(retailPrice)),
  }
  await changeRow(db, 'unit', id, told, meant).catch(refuseTwin)
  return readUnit(db, id)
}

/** Who added the unit, and its version. @throws Problem 404 */
export async function unitAuthor(db: Db, id: string) {
  const row = await rowOf(db, 'unit', id, ['createdBy', 'version'])
  return row
}

const refuseTwin = ifTaken(
  () => conflict('There is already a unit with this name in this setting and scale.'),
  'unit_name',
)
