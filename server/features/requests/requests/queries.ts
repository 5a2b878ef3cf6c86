import { sql } from 'kysely'
import { v7 } from 'uuid'
import { z } from 'zod'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often } from '../../../../db/often.ts'
import { baseOf } from '../../../http/base.ts'
import { fromMinor, type Money, toMinor } from '../../../http/money.ts'
import { cutPage, readCursor, shownPage, usualLimit } from '../../../http/paging.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import { addRow, changeRow, heldRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { sculptorColumns, shownTitle } from '../../catalogue/files/rules.ts'
import { shadowOfUnit } from '../../catalogue/measures/drawn.ts'
import { addUnit, shownUnit, units } from '../../catalogue/units/queries.ts'
import type { ChangedRequest, NewRequest, Request, RequestList } from './schema.ts'

const requests = (db: Db) =>
  db
    .selectFrom('request')
    .innerJoin('member', 'member.id', 'request.askerId')
    .innerJoin('unit', 'unit.id', 'request.unitId')
    .leftJoin('file', 'file.id', 'request.settledFileId')
    .leftJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['request.id', 'request.wanted', 'request.mustHaves', 'request.budgetMinor', 'request.budgetCurrency'])
    .select(['request.neededBy', 'request.remark', 'request.state', 'request.createdAt', 'request.closedAt'])
    .select(['request.version', 'request.askerId', 'request.unitId', 'request.settledFileId'])
    .select(['member.name as asker', 'unit.name as unit', 'unit.setting', 'unit.scaleMm', 'file.title as settledTitle'])
    .select(['unit.baseShape', 'unit.baseWidthMm', 'unit.baseLengthMm', ...sculptorColumns])
    .select(['unit.modelsPerUnit', 'unit.retailPriceMinor', 'unit.retailPriceCurrency'])
    .select(sql<number>`(select count(*)::integer from proposal where request_id = request.id)`.as('proposals'))

type Row = Awaited<ReturnType<ReturnType<typeof requests>['executeTakeFirstOrThrow']>>

function shown(row: Row, viewer: Viewer): Request {
  return {
    id: row.id,
    asker: { id: row.askerId, name: row.asker },
    unit: { id: row.unitId, name: row.unit, setting: row.setting, scaleMm: row.scaleMm, base: baseOf(row) },
    wanted: row.wanted,
    mustHaves: row.mustHaves,
    budget: row.budgetMinor === null || !row.budgetCurrency ? null : fromMinor(row.budgetMinor, row.budgetCurrency),
    boxes: boxesFor(row),
    neededBy: row.neededBy,
    remark: row.remark,
    state: row.state,
    settledFile: settledFile(row, viewer),
    proposals: row.proposals,
    createdAt: row.createdAt.toISOString(),
    closedAt: row.closedAt?.toISOString() ?? null,
    version: row.version,
  }
}

/** Whole boxes: nobody sells half of one. */
function boxesFor({ wanted, modelsPerUnit, retailPriceMinor, retailPriceCurrency }: Row): Request['boxes'] {
  if (retailPriceMinor === null || !retailPriceCurrency) return null
  const count = Math.ceil(wanted / modelsPerUnit)
  return { count, price: fromMinor(count * retailPriceMinor, retailPriceCurrency) }
}

function settledFile(row: Row, viewer: Viewer): Request['settledFile'] {
  const { settledFileId: id, settledTitle: title, sculptorId, sculptorName, sculptorCredit, ...sculptor } = row
  if (!id || title === null || !sculptorId || sculptorName === null || !sculptorCredit) return null
  return { id, title: shownTitle({ title, sculptorId, sculptorName, sculptorCredit, ...sculptor }, viewer) }
}

const budgetColumns = (budget: Money | null) => ({
  budgetMinor: budget ? toMinor(budget) : null,
  budgetCurrency: budget?.currency ?? null,
})

/** A page of the requests, newest first. */
export async function listRequests(db: Db, viewer: Viewer, { limit, after, state, unitId, askerId }: RequestList) {
  const [before] = readCursor(after, z.tuple([z.uuid()])) ?? []
  const most = limit === usualLimit ? undefined : limit + 1
  const rows = await someRequests(db, { before, state, unitId, askerId, most })
  return shownPage(cutPage(rows, limit, 'id'), (row) => shown(row, viewer))
}

interface Some extends Pick<RequestList, 'state' | 'unitId' | 'askerId'> {
  before: string | undefined
  /** as many as a page usually has, and one more, if left out */
  most: number | undefined
}

const someRequests = often((db, { before, state, unitId, askerId, most }: Some) =>
  requests(db)
    .$if(before !== undefined, (query) => query.where('request.id', '<', before ?? ''))
    .$if(state !== undefined, (query) => query.where('request.state', '=', state ?? 'open'))
    .$if(unitId !== undefined, (query) => query.where('request.unitId', '=', unitId ?? ''))
    .$if(askerId !== undefined, (query) => query.where('request.askerId', '=', askerId ?? ''))
    .orderBy('request.id', 'desc')
    // In the text where it is always the same, so that the plan is one for a few rows.
    .limit(most ?? sql.lit(usualLimit + 1)),
)

/** So many are shown with their unit. */
const mostOfUnit = 10

/** A unit, what it is drawn by, who added it, and who asks for it now, the newest first. @throws Problem 404 */
export async function unitWithRequests(db: Db, id: string) {
  const [row] = await unitById(db, { id })
  if (!row) throw notFound('unit')
  return { unit: shownUnit(row), createdBy: row.createdBy, requests: row.requests, shadow: row.shadow }
}

const unitById = often((db, { id }: { id: string }) =>
  units(db)
    .select(shadowOfUnit('unit.id').as('shadow'))
    .select((eb) =>
      jsonRows(
        eb
          .selectFrom('request')
          .innerJoin('member', 'member.id', 'request.askerId')
          .select(['request.id', 'wanted', 'member.name as asker'])
          .whereRef('request.unitId', '=', 'unit.id')
          .where('request.state', '=', 'open')
          .orderBy('request.id', 'desc')
          .limit(sql.lit(mostOfUnit)),
      ).as('requests'),
    )
    .where('unit.id', '=', id),
)

/** @throws Problem 404 */
export async function readRequest(db: Db, viewer: Viewer, id: string): Promise<Request> {
  const [row] = await requestById(db, { id })
  if (!row) throw notFound('request')
  return shown(row, viewer)
}

const requestById = often((db, { id }: { id: string }) => requests(db).where('request.id', '=', id))

/** These requests, as far as they exist, in no order. */
export async function requestsById(db: Db, viewer: Viewer, ids: readonly string[]): Promise<Request[]> {
  const rows = await requests(db).where('request.id', '=', sql<string>`any(${ids}::uuid[])`).execute()
  return rows.map((row) => shown(row, viewer))
}

/**
 * Posts a request, and its unit along with it where that is new.
 *
 * @throws Problem 422 for an unknown unit, 409 when the new unit exists already
 */
export async function postRequest(db: Db, viewer: Viewer, body: NewRequest): Promise<Request> {
  const { unitId, unit, budget, ...columns } = body
  return inTransaction(db, async (trx) => {
    const wantedUnit = unit
      ? (await addUnit(trx, viewer.id, unit)).id
      : (await rowOf(trx, 'unit', unitId ?? '', ['id'], noSuchUnit)).id
    const id = v7()
    await addRow(trx, 'request', { id, askerId: viewer.id, unitId: wantedUnit, ...columns, ...budgetColumns(budget) })
    return readRequest(trx, viewer, id)
  })
}

const noSuchUnit = () => invalid('/unitId', 'There is no such unit.')

export const whoChangesRequests = 'Only whoever asked, or a steward, can change, settle, withdraw or reopen a request.'

/**
 * Changes an open request, settles it on one of the files proposed, or withdraws it; opens a closed one again, with its
 * proposals and votes as they were. Its asker or a steward. The row is locked, so that of two who close it, or open it,
 * at the same moment the second finds it so already.
 *
 * @throws Problem 403, 404, 409 when it is closed (or open, to be opened again), 412, 422 for a file that nobody proposed
 */
export async function changeRequest(db: Db, viewer: Viewer, id: string, change: ChangedRequest, wanted?: Wanted) {
  return inTransaction(db, async (trx) => {
    const before = await requestToChange(trx, id)
    expectChange(viewer, { ownerId: before.askerId, version: before.version }, whoChangesRequests, wanted)
    const { budget, fileId, state, ...columns } = change
    if ((before.state === 'open') === (state === 'open')) throw conflict(`The request is ${before.state} already.`)
    if (fileId !== undefined) await expectProposed(trx, id, fileId)
    const closedAt = state === 'open' ? null : new Date()
    await changeRow(trx, 'request', id, {
      ...columns,
      ...(budget !== undefined && budgetColumns(budget)),
      ...(state !== undefined && { state, settledFileId: fileId ?? null, closedAt }),
    })
    return readRequest(trx, viewer, id)
  })
}

/** Locks a request for a change. @throws Problem 404 */
export const requestToChange = (trx: Db, id: string) =>
  heldRow(trx, 'request', id, ['askerId', 'state', 'version', 'mustHaves', 'unitId'])

async function expectProposed(trx: Db, requestId: string, fileId: string): Promise<void> {
  const found = await trx
    .selectFrom('proposal')
    .select('id')
    .where('requestId', '=', requestId)
    .where('fileId', '=', fileId)
    .executeTakeFirst()
  if (!found) throw invalid('/fileId', 'Nobody has proposed this file here. Propose it first, then settle on it.')
}
