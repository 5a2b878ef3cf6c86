import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { fromMinor, toMinor } from '../../../http/money.ts'
import { type Asked, type Page, pageById, shownPage } from '../../../http/paging.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import { addRow, changeRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectVersion, type Wanted } from '../../../http/version.ts'
import { perKgMinor } from './rules.ts'
import { type ChangedResin, type NewResin, type Resin, twoSizes } from './schema.ts'

const resins = (db: Db, ownerId: string) =>
  db
    .selectFrom('resin')
    .innerJoin('member', 'member.id', 'resin.ownerId')
    .select(['resin.id', 'resin.name', 'priceMinor', 'priceCurrency', 'bottleG', 'bottleMl', 'gramsPerMl'])
    .select(['resin.remark', 'resin.state', 'resin.createdAt', 'resin.version'])
    .select((eb) =>
      eb('member.defaultResinId', 'is not distinct from', eb.ref('resin.id')).$castTo<boolean>().as('isUsual'),
    )
    .where('ownerId', '=', ownerId)

type Row = Awaited<ReturnType<ReturnType<typeof resins>['executeTakeFirstOrThrow']>>

function shown({ priceMinor, priceCurrency, createdAt, ...row }: Row, { group }: Viewer): Resin {
  const perKg = perKgMinor({ priceMinor, priceCurrency, ...row }, group)
  return {
    ...row,
    price: fromMinor(priceMinor, priceCurrency),
    pricePerKg: perKg === undefined ? null : fromMinor(Math.round(perKg), group.currency),
    createdAt: createdAt.toISOString(),
  }
}

/** A page of one's own resins, as they were added. */
export async function listResins(db: Db, viewer: Viewer, asked: Asked): Promise<Page<Resin>> {
  return shownPage(await pageById(resins(db, viewer.id), 'resin.id', 'asc', asked), (row) => shown(row, viewer))
}

/** One of one's own resins. @throws Problem 404, also for another's: bottles are their owner's alone */
export async function readResin(db: Db, viewer: Viewer, id: string): Promise<Resin> {
  const row = await resins(db, viewer.id).where('resin.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('resin')
  return shown(row, viewer)
}

function columnsOf({ price, ...columns }: ChangedResin) {
  return { ...columns, ...(price && { priceMinor: toMinor(price), priceCurrency: price.currency }) }
}

/** Adds a resin of the member's; whoever has no usual one has it from now on. @throws Problem 409 for a name they have already */
export async function addResin(db: Db, viewer: Viewer, { price, ...columns }: NewResin): Promise<Resin> {
  const id = v7()
  return inTransaction(db, async (trx) => {
    const paid = { priceMinor: toMinor(price), priceCurrency: price.currency }
    await addRow(trx, 'resin', { id, ownerId: viewer.id, ...columns, ...paid }).catch(refuseTwin)
    await trx
      .updateTable('member')
      .set({ defaultResinId: id })
      .where('id', '=', viewer.id)
      .where('defaultResinId', 'is', null)
      .execute()
    return readResin(trx, viewer, id)
  })
}

/**
 * Changes one of one's own resins; what was counted with it counts anew. A retired one is nobody's usual one any more.
 *
 * @throws Problem 404, 409 (another of this name), 412, 422 when both sizes stand after the change
 */
export async function changeResin(db: Db, viewer: Viewer, id: string, change: ChangedResin, wanted: Wanted) {
  return inTransaction(db, async (trx) => {
    const before = await lockedResin(trx, viewer, id)
    expectVersion(before.version, wanted)
    const after = { ...before, ...change }
    if (after.bottleG !== null && after.bottleMl !== null) throw invalid('/bottleMl', twoSizes)
    await changeRow(trx, 'resin', id, columnsOf(change)).catch(refuseTwin)
    if (change.state === 'retired') await letGo(trx, id)
    return readResin(trx, viewer, id)
  })
}

/**
 * Removes one of one's own resins. One that plates were printed with is retired instead, since they cost what it costs.
 *
 * @returns what became of it
 * @throws Problem 404, 412
 */
export async function removeResin(db: Db, viewer: Viewer, id: string, wanted?: Wanted): Promise<'removed' | 'retired'> {
  return inTransaction(db, async (trx) => {
    const { version } = await lockedResin(trx, viewer, id)
    expectVersion(version, wanted)
    await letGo(trx, id)
    const used = await trx.selectFrom('plate').select('id').where('resinId', '=', id).limit(1).executeTakeFirst()
    if (used) {
      await changeRow(trx, 'resin', id, { state: 'retired' })
      return 'retired'
    }
    await trx.deleteFrom('resin').where('id', '=', id).execute()
    return 'removed'
  })
}

/** A plate that names it waits until we are through, and a plate that just did is seen. */
async function lockedResin(trx: Db, viewer: Viewer, id: string) {
  return trx
    .selectFrom('resin')
    .select(['bottleG', 'bottleMl', 'version'])
    .where('id', '=', id)
    .where('ownerId', '=', viewer.id)
    .forUpdate()
    .executeTakeFirstOrThrow(() => notFound('resin'))
}

const letGo = (trx: Db, id: string) =>
  trx.updateTable('member').set({ defaultResinId: null }).where('defaultResinId', '=', id).execute()

const refuseTwin = ifTaken(() => conflict('You already have a resin with this name.'), 'resin_name')

/** One's own resins that are in use, to choose a plate's from. @param alsoId one that stays though it be retired */
export const resinsToChoose = (db: Db, { id: ownerId }: Viewer, alsoId?: string) =>
  db
    .selectFrom('resin')
    .select(['id', 'name'])
    .where('ownerId', '=', ownerId)
    .where((eb) => eb.or([eb('state', '=', 'in use'), ...(alsoId === undefined ? [] : [eb('id', '=', alsoId)])]))
    .orderBy('id')
    .execute()

/**
 * The resin that a plate of the viewer's names, kept until the transaction ends.
 *
 * @param mayBeRetired the plate names it already
 * @throws Problem 422 for one that is not there or another's, and for a retired one
 */
export async function holdOwnResin(trx: Db, viewer: Viewer, id: string, mayBeRetired = false) {
  const resin = await trx
    .selectFrom('resin')
    .select(['name', 'state'])
    .where('id', '=', id)
    .where('ownerId', '=', viewer.id)
    .forShare()
    .executeTakeFirst()
  return usable(resin, mayBeRetired)
}

/** @throws Problem as `holdOwnResin` */
export function usable<Row extends Pick<Resin, 'state'>>(resin: Row | null | undefined, mayBeRetired = false): Row {
  if (!resin) throw invalid('/resinId', 'You have no such resin.')
  if (resin.state === 'retired' && !mayBeRetired) throw invalid('/resinId', 'This resin is retired. Choose another.')
  return resin
}
