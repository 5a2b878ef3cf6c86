import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import type { Db, Place } from '../../../db/connect.ts'
import { noteUpkeep } from '../../../server/features/printing/upkeep/queries.ts'
import { groupOf } from '../../../server/http/group.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { fieldsOf } from '../../support/forms.ts'
import { hasConnections, hold } from '../../support/held.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, someUpkeep } from '../../support/printing.ts'
import { until } from '../../support/until.ts'

const snapped = (copies: number) => [{ seen: 'supports snapped', copies }]
const unstuck = (copies: number) => [{ seen: 'nothing stuck to the plate', copies }]

let app: App
let db: Db
let place: Place
let close: () => Promise<void>
let odile: Person
let ada: Person
let ben: Person
let supportSetId: string
beforeAll(async () => {
  ;({ app, db, place, close } = await startApp())
  odile = await owner(app)
  ada = await member(odile, 'Ada')
  ben = await member(odile, 'Ben')
  ;({ supportSetId } = await aPrintable(ada))
})
afterAll(() => close())

const printed = (printerId: string, printedOn: string, failures = [] as ReturnType<typeof snapped>) =>
  aReport(ada, { supportSetId, printerId, printedOn, failures })

/** The days of a printer's prints, by the day that their period starts on, in the order in which they were reported. */
async function filed(printerId: string): Promise<Record<string, string[]>> {
  const rows = await db
    .selectFrom('printerPeriod')
    .leftJoin('plate', 'plate.printerPeriodId', 'printerPeriod.id')
    .select(['startsOn', 'printedOn'])
    .where('printerPeriod.printerId', '=', printerId)
    .orderBy('startsOn', (order) => order.asc().nullsFirst())
    .orderBy('plate.id')
    .execute()
  const periods = Map.groupBy(rows, ({ startsOn }) => startsOn ?? 'before')
  return Object.fromEntries(
    Array.from(periods, ([startsOn, own]) => [startsOn, own.flatMap(({ printedOn }) => printedOn ?? [])]),
  )
}

/** What the plates are counted to, and all that the last fit makes of them. */
async function everything() {
  const ofFit = db.selectFrom('scoringFit').select('fit')
  return {
    plates: await db.selectFrom('plate').select(['id', 'printerPeriodId']).orderBy('id').execute(),
    periods: await db.selectFrom('printerPeriod').selectAll().orderBy('id').execute(),
    upkeep: await db.selectFrom('upkeep').selectAll().orderBy('id').execute(),
    lines: await db
      .selectFrom('lineDraws')
      .select(['fileId', 'kind', 'mean', 'low', 'high', 'copies'])
      .where('fit', '=', ofFit)
      .orderBy('fileId')
      .execute(),
    machines: await db
      .selectFrom('periodDraws')
      .select(['periodId', 'worn', 'draws'])
      .where('fit', '=', ofFit)
      .orderBy('periodId')
      .execute(),
  }
}

async function viewerOf({ id }: Person) {
  const viewer = await db
    .selectFrom('member')
    .select(['id', 'name', 'role', 'defaultPrinterId', 'defaultCrowding'])
    .where('id', '=', id)
    .executeTakeFirstOrThrow()
  return { ...viewer, resin: null, group: await groupOf(db) }
}

/** Statements that wait for a lock of somebody else's. */
async function waiting(): Promise<number> {
  const { rows } = await sql<{ n: number }>`select count(*) as n from pg_stat_activity
    where datname = current_database() and wait_event_type = 'Lock'`.execute(db)
  return rows[0]?.n ?? 0
}

/** A fit that is as long as any other: after one whose chains did not agree the next would be longer. */
async function fitted(): Promise<void> {
  await db.updateTable('scoringFit').set({ rhat: null }).execute()
  await refitHere(db)
}

/** Takes the marks away. @returns how many there were */
const marks = async () => Number((await db.deleteFrom('fitMark').executeTakeFirst()).numDeletedRows)

test.runIf(hasConnections)('a report that waits while upkeep is noted belongs to what it began', async () => {
  const { id } = await aPrinter(ada)
  const held = await hold(place, 'select from printer where id = $1 for update', [id])
  const report = printed(id, '2025-04-02')
  await held.untilWaiting(1, report)
  await held.run(
    "insert into printer_period (id, printer_id, starts_on) values (gen_random_uuid(), $1, '2025-04-01')",
    [id],
  )
  await held.letGo()
  await report
  expect(await filed(id)).toEqual({ before: [], '2025-04-01': ['2025-04-02'] })
})

describe('upkeep that was noted by mistake', () => {
  test('and is taken back leaves everything as if it had never been noted', async () => {
    const [one, other] = [await aPrinter(ada), await aPrinter(ada)]
    await someUpkeep(ada, one.id, '2025-04-01')
    const days = ['2025-02-01', '2025-02-20', '2025-03-01', '2025-03-02', '2025-03-20', '2025-04-01', '2025-05-01']
    for (const [index, day] of days.entries())
      for (const { id } of [one, other]) await printed(id, day, index % 2 ? unstuck(2) : snapped(1 + (index % 3)))
    await fitted()
    const before = await everything()
    expect(before.machines.length).toBeGreaterThan(2)

    const upkeep = await someUpkeep(ada, one.id, '2025-03-01', 'plate levelled')
    expect(await marks()).toBe(1)
    expect(await filed(one.id)).toMatchObject({ '2025-03-01': ['2025-03-02', '2025-03-20'] })
    await fitted()
    const divided = await everything()
    expect(divided.machines.length).toBe(before.machines.length + 1)
    expect(divided.lines).not.toEqual(before.lines)

    expect((await ada.delete(`/upkeep/${upkeep.id}`)).statusCode).toBe(204)
    expect(await marks()).toBe(1)
    const { plates, periods, upkeep: noted } = await everything()
    expect({ plates, periods, noted }).toEqual({
      plates: before.plates,
      periods: before.periods,
      noted: before.upkeep,
    })
    await fitted()
    expect(await everything()).toEqual(before)
    expect((await ada.get(`/printers/${one.id}`)).json().lastUpkeepOn).toBe('2025-04-01')
  })

  test('takes what was reported meanwhile back too, on whatever day', async () => {
    const [one, twin] = [await aPrinter(ada), await aPrinter(ada)]
    const days = ['2025-02-28', '2025-03-01', '2025-03-05']
    for (const { id } of [one, twin]) for (const day of days) await printed(id, day, unstuck(1))
    const upkeep = await someUpkeep(ada, one.id, '2025-03-01')
    for (const { id } of [one, twin]) for (const day of [...days, '2025-06-01']) await printed(id, day, snapped(1))
    expect(await filed(one.id)).toEqual({
      before: ['2025-02-28', '2025-03-01', '2025-02-28'],
      '2025-03-01': ['2025-03-05', '2025-03-01', '2025-03-05', '2025-06-01'],
    })
    await ada.delete(`/upkeep/${upkeep.id}`)
    expect(await filed(one.id)).toEqual(await filed(twin.id))
    expect(Object.keys(await filed(one.id))).toEqual(['before'])
  })

  test('ends no period that other upkeep of the day started too', async () => {
    const { id } = await aPrinter(ada)
    const first = await someUpkeep(ada, id, '2025-03-01')
    await printed(id, '2025-03-01')
    const second = await someUpkeep(ada, id, '2025-03-01', 'vat filtered')
    await printed(id, '2025-03-01')
    await printed(id, '2025-03-02')
    await ada.delete(`/upkeep/${first.id}`)
    // As if only the second had been noted: the first plate of the day was reported before it.
    expect(await filed(id)).toEqual({ before: ['2025-03-01'], '2025-03-01': ['2025-03-01', '2025-03-02'] })
    await ada.delete(`/upkeep/${second.id}`)
    expect(await filed(id)).toEqual({ before: ['2025-03-01', '2025-03-01', '2025-03-02'] })
  })

  test.runIf(inject('template').kind === 'postgresql')(
    'and a report that waits for it is counted to the period after it',
    async () => {
      const { id } = await aPrinter(ada)
      const [noted, leave] = [Promise.withResolvers<void>(), Promise.withResolvers<void>()]
      const done = db.transaction().execute(async (trx) => {
        const upkeep = { kind: 'film changed', on: '2025-03-01', remark: '' } as const
        await noteUpkeep(trx, await viewerOf(ada), id, upkeep, { wanted: undefined, now: new Date() })
        noted.resolve()
        await leave.promise
      })
      await noted.promise
      const reporting = printed(id, '2025-03-02', snapped(1))
      await until(async () => (await waiting()) === 1)
      leave.resolve()
      await Promise.all([done, reporting])
      expect(await filed(id)).toEqual({ before: [], '2025-03-01': ['2025-03-02'] })
    },
  )

  test('of many at once, each is taken back once', async () => {
    const { id } = await aPrinter(ada)
    const upkeep = await someUpkeep(ada, id, '2025-03-01')
    const answers = await Promise.all(Array.from({ length: 8 }, () => ada.delete(`/upkeep/${upkeep.id}`)))
    expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([204, ...Array(7).fill(404)])
  })
})

describe('upkeep that was noted wrongly', () => {
  test('by the printer’s owner, or by a steward who has seen it', async () => {
    const { id } = await aPrinter(ada)
    const upkeep = await someUpkeep(ada, id, '2025-03-01')
    const path = `/upkeep/${upkeep.id}`
    const read = await ben.get(path)
    expect(read.json()).toMatchObject({ printerId: id, kind: 'film changed', on: '2025-03-01', version: 1 })
    const ifMatch = { headers: { 'if-match': String(read.headers.etag) } }
    expect((await ben.delete(path, ifMatch)).statusCode).toBe(403)
    expect((await odile.delete(path)).statusCode).toBe(428)
    expect((await odile.delete(path, { headers: { 'if-match': '"2"' } })).statusCode).toBe(412)
    for (const call of [ada.get, ada.delete]) expect((await call(`/upkeep/${ada.id}`)).statusCode).toBe(404)
    expect((await outsider(app).get(path)).statusCode).toBe(401)
    expect((await outsider(app).delete(path)).statusCode).toBe(401)
    expect((await odile.delete(path, ifMatch)).statusCode).toBe(204)
  })

  test('is never something else without words for what, over REST or on the page', async () => {
    const { id } = await aPrinter(ada)
    const path = `/printers/${id}/upkeep`
    const bare = { kind: 'other', on: '2025-03-01' }
    for (const body of [bare, { ...bare, remark: '  ' }]) {
      const answer = await ada.post(path, body)
      expect([answer.statusCode, answer.json().errors]).toEqual([
        422,
        [{ path: '/remark', message: 'Say what was done.' }],
      ])
    }
    const { statusCode, body } = await ada.submit(path, { ...bare, remark: '', once: 'bare' })
    expect(statusCode).toBe(422)
    expect(body).toMatch(/<textarea[^>]*aria-describedby="[^"]*error/)
    expect(body).toContain('Say what was done.')
    expect((await ada.post(path, { ...bare, remark: 'new feet' })).statusCode).toBe(201)
  })

  test('by page, from the log of its printer', async () => {
    const { id } = await aPrinter(ada)
    const upkeep = await someUpkeep(ada, id, '2025-03-01')
    const takeBack = `/upkeep/${upkeep.id}/take-back`
    expect((await ben.page(`/printers/${id}`)).body).not.toContain(takeBack)
    const fields = fieldsOf((await ada.page(`/printers/${id}`)).body, takeBack)
    expect((await ben.submit(takeBack, fields)).statusCode).toBe(403)
    for (let presses = 0; presses < 2; presses++)
      expect((await ada.submit(takeBack, fields)).headers.location).toBe(
        `/printers/${id}?said=upkeep-taken-back#upkeep`,
      )
    expect((await ada.page(`/printers/${id}`)).body).toContain('No upkeep is noted.')
  })
})
