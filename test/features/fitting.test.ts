import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { fitPlace } from '../../server/features/evidence/fit-place.ts'
import {
  currentFit,
  type FitSteps,
  FitWork,
  hyperOf,
  lastFit,
  machineShapeOf,
  periods,
  refit,
} from '../../server/features/evidence/queries.ts'
import { isFitDue } from '../../server/features/evidence/rules.ts'
import type { App } from '../../server/http/app-type.ts'
import { mean } from '../../server/scoring/beta.ts'
import { copyWeight } from '../../server/scoring/priors.ts'
import { member, owner, type Person, startApp } from '../support/app.ts'
import { aRevision, aSupportSet } from '../support/catalogue.ts'
import { aPrintable, aPrinter, aReport, type MadeReport, someUpkeep } from '../support/printing.ts'

/** A fit that stops where the test wants: `at` resolves when it has got there, and it goes on after `go`. */
function held(where: 'before reading' | 'before computing' | 'before taking over') {
  const arrived = Promise.withResolvers<void>()
  const leave = Promise.withResolvers<void>()
  const halt = async (here: typeof where) => {
    if (here !== where) return
    arrived.resolve()
    await leave.promise
  }
  class Held extends FitWork {
    override async fit() {
      await halt('before computing')
      return super.fit()
    }
    override async nextMessages(most: number) {
      const rows = await super.nextMessages(most)
      if (rows.length === 0) await halt('before taking over')
      return rows
    }
  }
  const place = async (): Promise<FitSteps> => {
    await halt('before reading')
    return new Held()
  }
  return { place, at: arrived.promise, go: () => leave.resolve() }
}

const snapped = (copies: number) => [{ seen: 'supports snapped', copies }]
const unstuck = (copies: number) => [{ seen: 'nothing stuck to the plate', copies }]

describe('a full fit while others report', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let files: Awaited<ReturnType<typeof aPrintable>>[]
  let printers: { id: string }[]
  let kept: MadeReport[]
  beforeAll(async () => {
    ;({ app, db, close } = await startApp())
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    const sculptor = { name: 'Osier Vane' }
    files = [await aPrintable(ada, { sculptor }), await aPrintable(ada, { sculptor }), await aPrintable(ada)]
    printers = [await aPrinter(ada), await aPrinter(ada)]
    kept = []
    for (const [index, failures] of [snapped(2), unstuck(3), [], snapped(1), [], unstuck(1), [], snapped(4)].entries())
      kept.push(await report(index % 3, index % 2, failures))
  })
  afterAll(() => close())

  const report = (file: number, printer: number, failures: ReturnType<typeof snapped> = []) =>
    aReport(ada, { supportSetId: files[file]?.supportSetId ?? '', printerId: printers[printer]?.id ?? '', failures })

  /** Every total that counts, and what the reports and their messages add up to. */
  async function totals() {
    const rows = await db
      .selectFrom('report')
      .innerJoin('supportSet', 'supportSet.id', 'report.supportSetId')
      .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
      .leftJoin('memberShare', (join) =>
        join
          .onRef('memberShare.memberId', '=', 'report.memberId')
          .onRef('memberShare.fileId', '=', 'revision.fileId')
          .onRef('memberShare.kind', '=', 'supportSet.kind')
          .onRef('memberShare.periodId', '=', 'report.printerPeriodId')
          .on('memberShare.fit', '=', currentFit),
      )
      .select(['report.id', 'revision.fileId', 'supportSet.kind', 'printerPeriodId', 'tried', 'good', 'fileWeight'])
      .select((eb) => eb.fn.coalesce('memberShare.weight', sql<number>`1::float8`).as('memberWeight'))
      .execute()
    const messages = await db
      .selectFrom('failureMessage')
      .innerJoin('reportFailure', (join) =>
        join
          .onRef('reportFailure.reportId', '=', 'failureMessage.reportId')
          .onRef('reportFailure.seen', '=', 'failureMessage.seen'),
      )
      .select(['failureMessage.reportId', 'message', 'copies'])
      .where('fit', '=', currentFit)
      .execute()
    const expected = new Map<string, [number, number]>()
    const add = (key: string, x: number, y: number) => {
      const [a, b] = expected.get(key) ?? [0, 0]
      expected.set(key, [a + x, b + y])
    }
    for (const row of rows) {
      const weight = row.memberWeight * copyWeight(row.tried, 0.1)
      const [line, period] = [`${row.fileId} ${row.kind}`, row.printerPeriodId]
      add(line, row.good * weight * row.fileWeight, 0)
      add(period, row.good * weight, 0)
      for (const { message, copies } of messages.filter(({ reportId }) => reportId === row.id)) {
        const [fileX = 0, fileY = 0, machineX = 0, machineY = 0] = message
        add(line, copies * weight * row.fileWeight * fileX, copies * weight * row.fileWeight * fileY)
        add(period, copies * weight * machineX, copies * weight * machineY)
      }
    }
    const lines = await db
      .selectFrom('printSuccess')
      .select(['fileId', 'kind', 'x', 'y'])
      .where('fit', '=', currentFit)
      .execute()
    const machines = await periods(db).execute()
    const stored = new Map([
      ...lines.map(({ fileId, kind, x, y }) => [`${fileId} ${kind}`, [x, y]] as const),
      ...machines.map(({ id, x, y }) => [id, [x, y]] as const),
    ])
    return { stored, expected }
  }

  /** Every report counts exactly once. */
  async function expectAccounted() {
    const { stored, expected } = await totals()
    for (const [key, [x, y]] of stored) {
      expect(x).toBeCloseTo(expected.get(key)?.[0] ?? 0, 8)
      expect(y).toBeCloseTo(expected.get(key)?.[1] ?? 0, 8)
    }
    return stored
  }

  /** Mean success of every line and printer period. */
  async function means() {
    const lines = await db
      .selectFrom('printSuccess')
      .select(['fileId', 'kind', 'mean'])
      .where('fit', '=', currentFit)
      .execute()
    const hyper = await hyperOf(db)
    const machines = await periods(db).execute()
    return new Map([
      ...lines.map((line) => [`${line.fileId} ${line.kind}`, line.mean] as const),
      ...machines.map((period) => [period.id, mean(machineShapeOf(hyper, period))] as const),
    ])
  }

  /** What counts is as near to a fit of its own as learning one report after another gets (test/scoring/one-more). */
  async function expectNearFit() {
    await expectAccounted()
    const learnt = await means()
    await refit(db)
    await expectAccounted()
    for (const [key, fitted] of await means())
      expect(Math.abs((learnt.get(key) ?? Number.NaN) - fitted)).toBeLessThan(0.04)
  }

  async function meddle() {
    const [gone, changed, moved] = [kept.shift(), kept[0], kept[1]]
    expect((await ada.delete(`/reports/${gone?.id}`)).statusCode).toBe(204)
    const change = { good: 3, failures: snapped(3) }
    expect((await ada.patch(`/reports/${changed?.id}`, change)).statusCode).toBe(200)
    expect((await ada.patch(`/reports/${moved?.id}`, { printerId: printers[0]?.id })).statusCode).toBe(200)
    kept.push(await report(0, 1, unstuck(2)), await report(1, 0))
    const passing = await report(2, 0, snapped(2))
    expect((await ada.delete(`/reports/${passing.id}`)).statusCode).toBe(204)
    // A change of a change.
    expect((await ada.patch(`/reports/${changed?.id}`, { good: 4, failures: snapped(2) })).statusCode).toBe(200)
  }

  test.each(['before reading', 'before computing', 'before taking over'] as const)(
    'reports that come, change and go %s wait for nothing, and each counts once',
    async (where) => {
      const stop = held(where)
      const running = refit(db, { place: stop.place })
      await stop.at
      await meddle()
      await expectAccounted()
      stop.go()
      const { reports } = await running
      expect(reports).toBeGreaterThan(4)
      expect((await lastFit(db)).since).toBe(6)
      await expectNearFit()
      expect((await lastFit(db)).since).toBe(0)
    },
  )

  test('supports that are mended and upkeep that is noted meanwhile count once as well', async () => {
    const stop = held('before taking over')
    const running = refit(db, { place: stop.place })
    await stop.at
    const second = await aRevision(ada, files[0]?.fileId ?? '', { label: 'second' })
    await aSupportSet(ada, second.id)
    await someUpkeep(ada, printers[1]?.id ?? '', '2025-05-01')
    stop.go()
    await running
    await expectNearFit()
  })

  test('a report that is taken back while a fit runs leaves nothing behind in it', async () => {
    await refit(db)
    const before = await expectAccounted()
    const stop = held('before taking over')
    const extra = await report(1, 1, snapped(5))
    const running = refit(db, { place: stop.place })
    await stop.at
    await ada.delete(`/reports/${extra.id}`)
    stop.go()
    await running
    expect(await messagesOf(extra.id)).toEqual([])
    await refit(db)
    const after = await expectAccounted()
    for (const [key, [x = 0, y = 0]] of before) {
      expect(after.get(key)?.[0]).toBeCloseTo(x, 9)
      expect(after.get(key)?.[1]).toBeCloseTo(y, 9)
    }
  })

  const messagesOf = (reportId: string) =>
    db.selectFrom('failureMessage').select('fit').where('reportId', '=', reportId).execute()

  test('more reports at once than are learnt in one go, with one sculptor and printer, count once each', async () => {
    const stop = held('before taking over')
    const running = refit(db, { place: stop.place })
    await stop.at
    // Of no more copies than count in full, or their shares would change.
    const others = [await aPrinter(ada), await aPrinter(ada), await aPrinter(ada)]
    const [one, other] = files
    for (let plate = 0; plate < 13; plate++) {
      const supportSetId = (plate % 2 ? one : other)?.supportSetId ?? ''
      const printerId = others[plate % 3]?.id ?? ''
      await aReport(ada, { supportSetId, printerId, tried: 2, failures: unstuck(1) })
    }
    stop.go()
    await running
    await expectAccounted()
  })

  test('one at a time: who comes second is told so, over REST and by page', async () => {
    const stop = held('before computing')
    const running = refit(db, { place: stop.place })
    await stop.at
    expect((await odile.post('/scoring/fit')).statusCode).toBe(409)
    expect((await odile.submit('/estimates', {})).statusCode).toBe(409)
    stop.go()
    await running
    expect((await odile.post('/scoring/fit')).statusCode).toBe(200)
  })

  test('broken off, it changes nothing, and its rows go with the next one', async () => {
    await refit(db)
    const before = await expectAccounted()
    const [stop, breaking] = [held('before taking over'), new AbortController()]
    const failing = { place: stop.place, signal: breaking.signal }
    const broken = refit(db, failing).catch((error: unknown) => error)
    await stop.at
    // As if the database had gone away just then.
    await db.updateTable('scoringFit').set({ attempt: 10_000 }).execute()
    stop.go()
    expect(String(await broken)).toContain('overtaken')
    expect(await expectAccounted()).toEqual(before)
    const aborted = refit(db, { signal: AbortSignal.abort(new Error('stopping')) })
    await expect(aborted).rejects.toThrow('stopping')
    expect(await expectAccounted()).toEqual(before)
    await refit(db)
    const fits = await db.selectFrom('printSuccess').select('fit').distinct().execute()
    expect(fits).toEqual(await db.selectFrom('scoringFit').select('fit').execute())
  })

  test('told to stop while it computes, it does not wait for that', async () => {
    const [stop, stopping] = [held('before computing'), new AbortController()]
    const running = refit(db, { place: stop.place, signal: stopping.signal })
    await stop.at
    stopping.abort(new Error('the service is going down'))
    await expect(running).rejects.toThrow('going down')
    stop.go()
    await refit(db)
  })

  test('on a thread of its own it comes to the same', async () => {
    await refit(db)
    const here = await expectAccounted()
    await refit(db, { place: () => fitPlace(1, 0) })
    expect(await expectAccounted()).toEqual(here)
  })

  test('what goes wrong on the thread is told here', async () => {
    const steps = fitPlace(1, 0)
    const bad = { id: 'x', failures: [], good: -1 } as unknown as Parameters<FitSteps['add']>[0][number]
    await expect(steps.add([bad])).rejects.toThrow('numbers >= 0')
    await steps.end()
  })
})

test.each([
  [{ reports: 0, since: 0 }, false],
  [{ reports: 0, since: 1 }, true],
  [{ reports: 100, since: 9 }, false],
  [{ reports: 100, since: 10 }, true],
  [{ reports: 400, since: 24 }, false],
  [{ reports: 400, since: 25 }, true],
  [{ reports: 1_000_000, since: 25 }, true],
])('after %j a fit is due: %s', (known, due) => {
  expect(isFitDue(known)).toBe(due)
})
