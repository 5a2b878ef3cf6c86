import { sql } from 'kysely'
import { afterAll, describe, expect, test } from 'vitest'
import { migrate } from '../../db/migrate.ts'
import { migrations } from '../../db/migrations/index.ts'
import { currencies, minorDigits } from '../../server/http/money.ts'
import { freshDatabase } from '../support/database.ts'

const { db, ...database } = await freshDatabase()
afterAll(() => database.close())

const id = (kind: number) => `01970000-000${kind}-7000-8000-000000000001`
const rows = async (query: string) => (await sql.raw(query).execute(db)).rows

/** A database before plates had a cost, with a group of this currency and a plan of a roster. */
async function earlier(currency: string, crowding: string): Promise<void> {
  await sql`drop schema public cascade`.execute(db)
  await sql`create schema public`.execute(db)
  await migrate(db, Object.fromEntries(Object.entries(migrations).filter(([name]) => name < '013')))
  const statements = `
    insert into group_settings (name, currency, looks_worth_minor, resin_price_per_kg_minor, clean_up_minor)
      values ('The Friday table', '${currency}', 1, 1, 1);
    insert into member (id, name, email, password_hash, role) values ('${id(1)}', 'Ada', 'ada@group.example', 'x', 'owner');
    insert into roster (id, owner_id, name) values ('${id(2)}', '${id(1)}', 'Autumn');
    insert into roster_plan (roster_id, id, list_version, state, asked, instance, outcome)
      values ('${id(2)}', '${id(3)}', 1, 'done', '{}', '{}', '{"crowding": "${crowding}", "printer": null}')`
  for (const statement of statements.split(';')) await sql.raw(statement).execute(db)
}

describe('a database from before plates had a cost', () => {
  test.each([
    ['EUR', 100, 'normal', 'about full'],
    ['JPY', 1, 'loose', 'half empty'],
    ['KWD', 1000, 'packed', 'packed'],
  ])(
    'in %s gets 1.00 a plate and for the clean-up of a failed one, and keeps its plans',
    async (currency, whole, ...words) => {
      const [old, now] = words
      await earlier(currency, old)
      expect(await migrate(db)).toContain('013-costs')
      expect(await rows('select per_plate_minor, clean_up_per_plate_minor from group_settings')).toEqual([
        { perPlateMinor: whole, cleanUpPerPlateMinor: whole },
      ])
      expect(await rows('select outcome from roster_plan')).toEqual([{ outcome: { crowding: now, printer: null } }])
      expect(whole).toBe(10 ** minorDigits(currency))
    },
  )

  // Minor units of ISO 4217 as the package currency-codes has them.
  test('knows every currency whose minor unit is not a hundredth', async () => {
    await earlier('EUR', 'packed')
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
