import { sql } from 'kysely'
import { afterAll, describe, expect, test } from 'vitest'
import { migrate } from '../../db/migrate.ts'
import { migrations } from '../../db/migrations/index.ts'
import { currencies, minorDigits } from '../../server/http/money.ts'
import { freshDatabase } from '../support/database.ts'

const { db, ...database } = await freshDatabase()
afterAll(() => database.close())

const rows = async (query: string) => (await sql.raw(query).execute(db)).rows

/** A database before plates had a cost, with a group of this currency. */
async function earlier(currency: string): Promise<void> {
  await sql`drop schema public cascade`.execute(db)
  await sql`create schema public`.execute(db)
  await migrate(db, Object.fromEntries(Object.entries(migrations).filter(([name]) => name < '013')))
  await sql`insert into group_settings (name, currency, looks_worth_minor, resin_price_per_kg_minor, clean_up_minor)
    values ('The Friday table', ${currency}, 1, 1, 1)`.execute(db)
}

describe('a database from before plates had a cost', () => {
  test.each([
    ['EUR', 100],
    ['JPY', 1],
    ['KWD', 1000],
  ])('in %s gets 1.00 a plate, and for the clean-up of a failed one', async (currency, whole) => {
    await earlier(currency)
    expect(await migrate(db)).toContain('013-costs')
    expect(await rows('select per_plate_minor, clean_up_per_plate_minor from group_settings')).toEqual([
      { perPlateMinor: whole, cleanUpPerPlateMinor: whole },
    ])
    expect(whole).toBe(10 ** minorDigits(currency))
  })

  // Minor units of ISO 4217 as the package currency-codes has them.
  test('knows every currency whose minor unit is not a hundredth', async () => {
    await earlier('EUR')
    const odd = currencies.filter((code) => minorDigits(code) !== 2)
    const step = migrations['013-costs']
    expect(odd.length).toBeGreaterThan(20)
    for (const currency of odd) {
      await db.transaction().execute(async (trx) => {
        await sql`update group_settings set currency = ${currency}`.execute(trx)
        await step?.up(trx)
        const { rows: found } = await sql<{
          perPlateMinor: number
        }>`select per_plate_minor from group_settings`.execute(trx)
        expect(found[0]?.perPlateMinor, currency).toBe(10 ** minorDigits(currency))
        await sql`alter table group_settings drop per_plate_minor, drop clean_up_per_plate_minor`.execute(trx)
      })
    }
  })
})
