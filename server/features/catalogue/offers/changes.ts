import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import type { OfferState } from '../../../../db/tables.ts'
import { latestToday } from '../../../http/day.ts'
import { todayIn } from '../../../http/group.ts'
import { fromMinor, type Money, toMinor } from '../../../http/money.ts'
import { invalid, Problem } from '../../../http/problem.ts'
import { addRow, changeRow, heldRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectChange, type Wanted } from '../../../http/version.ts'
import { expectKnown, fileHead } from '../files/heads.ts'
import { othersWordsAfter } from '../sculptors/own-words.ts'
import { readOffer } from './queries.ts'
import { wrongTerms } from './rules.ts'
import type { ChangedOffer, NewOffer, Offer } from './schema.ts'

/** Adds a way to get this file (and the others that it names). @throws Problem 404, 422 */
export async function addOfferTo(db: Db, viewer: Viewer, fileId: string, offer: NewOffer, now = new Date()) {
  await fileHead(db, fileId)
  const fileIds = [fileId, ...offer.fileIds.filter((id) => id !== fileId)]
  const [wrong] = wrongTerms({ ...offer, files: fileIds.length })
  if (wrong) throw invalid(wrong.path, wrong.message)
  await expectKnown(db, 'file', offer.fileIds, '/fileIds')
  return keepOffer(db, viewer, { ...offer, fileIds }, now)
}

/** Adds an offer of the files that it names. @throws Problem 422 */
export async function addOffer(db: Db, viewer: Viewer, offer: NewOffer, now = new Date()) {
  await expectKnown(db, 'file', offer.fileIds, '/fileIds')
  return keepOffer(db, viewer, offer, now)
}

async function keepOffer(db: Db, viewer: Viewer, offer: NewOffer, now: Date): Promise<Offer> {
  const { price, fileIds, seenOn, ...columns } = offer
  return inTransaction(db, async (trx) => {
    const { group } = viewer
    const id = v7()
    const seen = {
      ...priceColumns(price ?? { amount: '0', currency: group.currency }),
      state: columns.state,
      seenOn: daySeen(seenOn, group.timeZone, now),
    }
    await addRow(trx, 'offer', { id, ...columns, ...seen, createdBy: viewer.id })
    await openFiles(trx, id, fileIds)
    await rememberPrice(trx, viewer, id, seen)
    return readOffer(trx, viewer, id)
  })
}

const priceColumns = (price: Money) => ({ priceMinor: toMinor(price), priceCurrency: price.currency })

/** The day it was seen so: the given one, or today. @throws Problem 422 for a day in the future */
function daySeen(given: string | undefined, timeZone: string, now: Date): string {
  if (given !== undefined && given > latestToday(now)) throw invalid('/seenOn', 'This day is in the future.')
  return given ?? todayIn(timeZone, now)
}

async function openFiles(trx: Db, offerId: string, fileIds: string[]): Promise<void> {
  const rows = fileIds.map((fileId) => ({ offerId, fileId }))
  await addRow(trx, 'offerFile', rows)
}

/** What goes into the history. */
interface Seen {
  priceMinor: number
  priceCurrency: string
  state: OfferState
  seenOn: string
}

async function rememberPrice(trx: Db, viewer: Viewer, offerId: string, seen: Seen): Promise<void> {
  await addRow(trx, 'offerPrice', { id: v7(), offerId, ...seen, createdBy: viewer.id })
}

export const whoChangesOffers = 'Only whoever added an offer, or a steward, can change it.'

/**
 * Changes an offer: its author, or a steward. A new price, state or day goes into its history; without a day it was seen
 * so today.
 *
 * @throws Problem 403, 404, 412, 422
 */
export async function changeOffer(
  db: Db,
  viewer: Viewer,
  id: string,
  change: ChangedOffer,
  wanted?: Wanted,
  now = new Date(),
): Promise<Offer> {
  return inTransaction(db, async (trx) => {
    const before = await offerToChange(trx, id)
    expectChange(viewer, { ownerId: before.createdBy, version: before.version }, whoChangesOffers, wanted)
    const { price: _price, fileIds, seenOn: _day, ...columns } = change
    await expectFitting(trx, before, change)
    const seen = seenAfter(before, change, viewer.group, now)
    const othersWords = othersWordsAfter(before, ['title', 'url'], change, viewer)
    await changeRow(trx, 'offer', id, { ...columns, ...seen, othersWords })
    if (differs(before, seen)) await rememberPrice(trx, viewer, id, seen)
    if (fileIds !== undefined) {
      await trx.deleteFrom('offerFile').where('offerId', '=', id).execute()
      await openFiles(trx, id, fileIds)
    }
    return readOffer(trx, viewer, id)
  })
}

/** Price, state and day as they are after the change; without a new one of them, as they were. */
function seenAfter(before: Seen, change: ChangedOffer, group: { timeZone: string; currency: string }, now: Date): Seen {
  const { price, state = before.state, seenOn } = change
  const { priceMinor, priceCurrency } = before
  if (price === undefined && change.state === undefined && seenOn === undefined)
    return { priceMinor, priceCurrency, state, seenOn: before.seenOn }
  const asked = price === undefined ? {} : priceColumns(price ?? { amount: '0', currency: group.currency })
  return { priceMinor, priceCurrency, ...asked, state, seenOn: daySeen(seenOn, group.timeZone, now) }
}

const differs = (one: Seen, other: Seen) =>
  one.priceMinor !== other.priceMinor ||
  one.priceCurrency !== other.priceCurrency ||
  one.state !== other.state ||
  one.seenOn !== other.seenOn

/** Locks an offer for a change. @throws Problem 404 */
const offerToChange = (trx: Db, id: string) => heldRow(trx, 'offer', id, offerColumns)

const offerColumns = [
  ...(['kind', 'priceMinor', 'priceCurrency', 'minMonths', 'state', 'seenOn', 'createdBy'] as const),
  ...(['othersWords', 'version'] as const),
] as const

/** @throws Problem 422 when the offer would not fit together after the change */
async function expectFitting(trx: Db, before: Awaited<ReturnType<typeof offerToChange>>, change: ChangedOffer) {
  const { price, minMonths, fileIds } = change
  const errors = wrongTerms({
    kind: before.kind,
    price: price === undefined ? fromMinor(before.priceMinor, before.priceCurrency) : price,
    minMonths: minMonths === undefined ? before.minMonths : minMonths,
    files: fileIds?.length ?? 1,
  })
  if (errors[0]) throw new Problem(422, errors[0].message, { errors })
  await expectKnown(trx, 'file', fileIds ?? [], '/fileIds')
}
