import { v7 } from 'uuid'
import type { Db } from '../../../../db/connect.ts'
import { latestToday } from '../../../http/day.ts'
import { todayIn } from '../../../http/group.ts'
import { fromMinor, toMinor } from '../../../http/money.ts'
import { invalid, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectRates } from '../entries.ts'
import { ownRoster } from '../queries.ts'
import { rateOn, worthOf } from './rates.ts'
import type { NewSpendLine, SpendLine } from './schema.ts'

/** What else was spent for rosters, the first day first. */
export const linesOf = (db: Db, rosterIds: readonly string[]) =>
  db
    .selectFrom('rosterSpendLine')
    .select(['id', 'rosterId', 'words', 'spentOn', 'amountMinor', 'amountCurrency', 'cameIn'])
    .select(rateOn('rosterSpendLine.amountCurrency', 'rosterSpendLine.spentOn').as('rate'))
    .where('rosterId', 'in', rosterIds)
    .orderBy('spentOn')
    .orderBy('id')

export type LineRow = Awaited<ReturnType<ReturnType<typeof linesOf>['executeTakeFirstOrThrow']>>

/** In the group's currency, what came in below nothing; undefined without any rate. */
export function worthOfLine({ amountMinor, amountCurrency, rate, cameIn }: LineRow, currency: string) {
  const worth = worthOf({ minor: amountMinor, currency: amountCurrency, rate }, currency)
  return worth === undefined || !cameIn ? worth : -worth
}

export function shownLine(row: LineRow, currency: string): SpendLine {
  const worth = worthOfLine(row, currency)
  return {
    id: row.id,
    words: row.words,
    on: row.spentOn,
    cameIn: row.cameIn,
    amount: fromMinor(row.amountMinor, row.amountCurrency),
    worth: worth === undefined ? null : fromMinor(worth, currency),
  }
}

/** Notes what else was spent for a roster, or came in for it. @throws Problem 403, 404, 422 */
export async function addSpendLine(
  db: Db,
  viewer: Viewer,
  rosterId: string,
  { words, amount, cameIn, ...body }: NewSpendLine,
  now: Date,
): Promise<SpendLine> {
  await ownRoster(db, viewer, rosterId)
  const spentOn = body.on ?? todayIn(viewer.group.timeZone, now)
  if (spentOn > latestToday(now)) throw invalid('/on', 'This day is still to come.')
  expectRates(viewer.group, [amount], '/amount/currency')
  const id = v7()
  await db
    .insertInto('rosterSpendLine')
    .values({ id, rosterId, words, spentOn, cameIn, amountMinor: toMinor(amount), amountCurrency: amount.currency })
    .execute()
  const row = await linesOf(db, [rosterId]).where('id', '=', id).executeTakeFirstOrThrow()
  return shownLine(row, viewer.group.currency)
}

/** @throws Problem 403, 404 */
export async function removeSpendLine(db: Db, viewer: Viewer, rosterId: string, id: string): Promise<void> {
  await ownRoster(db, viewer, rosterId)
  const done = await db
    .deleteFrom('rosterSpendLine')
    .where('id', '=', id)
    .where('rosterId', '=', rosterId)
    .executeTakeFirst()
  if (done.numDeletedRows === 0n) throw notFound('line')
}
