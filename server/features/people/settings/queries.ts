import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { latestToday } from '../../../http/day.ts'
import { type Group, groupOf } from '../../../http/group.ts'
import { fromMinor, type Money, toMinor } from '../../../http/money.ts'
import { invalid, notFound, Problem } from '../../../http/problem.ts'
import { expectVersion, stale, type Wanted } from '../../../http/version.ts'
import { type ChangedSettings, type Rate, type Settings, sums } from './schema.ts'

/** The newest rate of each currency, by its code. */
export async function listRates(db: Db): Promise<Rate[]> {
  return db
    .selectFrom('rate')
    .distinctOn('currency')
    .select(['currency', 'worth', 'seenOn'])
    .orderBy('currency')
    .orderBy('seenOn', 'desc')
    .execute()
}

/**
 * Notes what a currency is worth.
 *
 * @returns the rate that counts now: of several the one seen last
 * @throws Problem 422 for the group's own currency and for a day in the future
 */
export async function setRate(db: Db, rate: Rate, now: Date): Promise<Rate> {
  const group = await groupOf(db)
  if (rate.currency === group.currency)
    throw invalid('/currency', 'The group counts in this currency, so it is always worth 1.')
  if (rate.seenOn > latestToday(now)) throw invalid('/seenOn', 'This day is in the future.')
  await db
    .insertInto('rate')
    .values(rate)
    .onConflict((c) => c.columns(['currency', 'seenOn']).doUpdateSet({ worth: rate.worth }))
    .execute()
  const counts = (await listRates(db)).find(({ currency }) => currency === rate.currency)
  return counts ?? rate
}

/** Forgets all rates of a currency: its prices can't be compared any more. @throws Problem 404 */
export async function dropRate(db: Db, currency: string): Promise<void> {
  const done = await db.deleteFrom('rate').where('currency', '=', currency).executeTakeFirst()
  if (done.numDeletedRows === 0n) throw notFound('rate')
}

/** Currencies that offers are priced in and that no rate turns into the group's. */
export async function currenciesWithoutRate(db: Db): Promise<string[]> {
  const rows = await db
    .selectFrom('offer')
    .select('priceCurrency')
    .distinct()
    .where('state', '!=', 'withdrawn')
    .where('priceCurrency', 'not in', (eb) => eb.selectFrom('groupSettings').select('currency'))
    .where('priceCurrency', 'not in', (eb) => eb.selectFrom('rate').select('currency'))
    .orderBy('priceCurrency')
    .execute()
  return rows.map((row) => row.priceCurrency)
}

export async function readSettings(db: Db): Promise<Settings> {
  return shown(await groupOf(db))
}

const shown = (group: Group): Settings => ({
  name: group.name,
  currency: group.currency,
  locale: group.locale,
  timeZone: group.timeZone,
  resinGramsPerMl: group.resinGramsPerMl,
  resinMlPerModel: group.resinMlPerModel,
  ...sumsOf((sum) => fromMinor(group[`${sum}Minor`], group.currency)),
  version: group.version,
})

/**
 * Changes what the group has settled. Its currency only while nothing has been priced, and only together with all sums
 * in the new one; the rates, which were into the old one, are forgotten.
 *
 * @throws Problem 409 (the currency, once something is priced), 412, 422
 */
export async function changeSettings(db: Db, change: ChangedSettings, wanted?: Wanted): Promise<Settings> {
  return inTransaction(db, async (trx) => {
    const before = await groupOf(trx)
    expectVersion(before.version, wanted, false)
    const currency = change.currency ?? before.currency
    if (currency !== before.currency) await leaveCurrency(trx, change)
    expectCurrency(change, currency)
    const { looksWorth, resinPricePerKg, perPlate, cleanUp, cleanUpPerPlate, timePerHour, ...columns } = change
    const given = { looksWorth, resinPricePerKg, perPlate, cleanUp, cleanUpPerPlate, timePerHour }
    const done = await trx
      .updateTable('groupSettings')
      .set({ ...columns, ...minorOf(given) })
      .set({ version: sql<number>`version + 1` })
      .where('version', '=', before.version)
      .executeTakeFirst()
    if (done.numUpdatedRows === 0n) throw stale()
    return readSettings(trx)
  })
}

type Sum = (typeof sums)[number]

const sumsOf = <Value>(of: (sum: Sum) => Value) =>
  Object.fromEntries(sums.map((sum) => [sum, of(sum)])) as Record<Sum, Value>

/** The columns of the sums that are given. */
function minorOf(given: Partial<Record<Sum, Money | undefined>>) {
  const columns = sums.flatMap((sum) => (given[sum] ? [[`${sum}Minor`, toMinor(given[sum])]] : []))
  return Object.fromEntries(columns) as Partial<Record<`${Sum}Minor`, number>>
}

async function leaveCurrency(trx: Db, change: ChangedSettings): Promise<void> {
  if (await hasPrices(trx)) {
    const message =
      'The currency stays, since something has been priced: what was ranked and settled would no longer add up.'
    throw new Problem(409, message, { errors: [{ path: '/currency', message }] })
  }
  const missing = sums.find((name) => change[name] === undefined)
  if (missing) throw invalid(`/${missing}`, 'If you change the currency, enter every amount again.')
  await trx.deleteFrom('rate').execute()
}

/**
 * Whether there is an offer, a priced unit or entry of a roster, a request with a budget, a line of what was spent, or a
 * plan, whose sums are kept as they were counted. A purchase is always of an offer.
 */
export async function hasPrices(db: Db): Promise<boolean> {
  const { found } = await db
    .selectNoFrom((eb) =>
      eb
        .or([
          eb.exists(eb.selectFrom('offer').select('id')),
          eb.exists(eb.selectFrom('unit').select('id').where('retailPriceMinor', 'is not', null)),
          eb.exists(eb.selectFrom('request').select('id').where('budgetMinor', 'is not', null)),
          eb.exists(eb.selectFrom('rosterEntry').select('id').where('retailPriceMinor', 'is not', null)),
          eb.exists(eb.selectFrom('rosterPlan').select('id')),
          eb.exists(eb.selectFrom('rosterSpendLine').select('id')),
        ])
        .as('found'),
    )
    .executeTakeFirstOrThrow()
  return Boolean(found)
}

function expectCurrency(change: ChangedSettings, currency: string): void {
  const errors = sums
    .filter((name) => change[name] !== undefined && change[name].currency !== currency)
    .map((name) => ({ path: `/${name}/currency`, message: `The group counts in ${currency}.` }))
  if (errors.length > 0) throw new Problem(422, `The group counts in ${currency}.`, { errors })
}
