import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { fitPlace } from '../../../server/features/evidence/fit-place.ts'
import { FitWork } from '../../../server/features/evidence/fit-work.ts'
import type { RefitOptions } from '../../../server/features/evidence/fitting.ts'
import {
  type GroupModel,
  groupModel,
  lastFit,
  refit,
  successOfFiles,
} from '../../../server/features/evidence/queries.ts'
import { type Person, startGroup } from '../../support/app.ts'
import { aRevision, aSupportSet } from '../../support/catalogue.ts'
import { fewSweeps, keptRows, refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, someUpkeep } from '../../support/printing.ts'

let db: Db
let ada: Person
let odile: Person
let close: () => Promise<void>
let on: { fileId: string; supportSetId: string; printerId: string }
beforeAll(async () => {
  ;({ db, ada, odile, close } = await startGroup())
})
afterAll(() => close())
beforeEach(async () => {
  on = { ...(await aPrintable(ada)), printerId: (await aPrinter(ada)).id }
  for (const copies of [2, 0, 1]) await report(copies)
  await refitHere(db)
})

const snapped = (copies: number) => (copies > 0 ? [{ seen: 'supports snapped', copies }] : [])
const report = (copies: number) =>
  aReport(ada, { supportSetId: on.supportSetId, printerId: on.printerId, failures: snapped(copies) })
const copiesOf = async (fileId: string) => (await successOfFiles(db, [fileId])).get(fileId)?.[0]?.copies ?? 0

type Place = 'before reading' | 'while it computes' | 'before taking over'

/** A fit that stops at a place, until it is told to go on. */
function halted(at: Place) {
  const arrived = Promise.withResolvers<void>()
  const leave = Promise.withResolvers<void>()
  const halt = async (here: Place) => {
    if (here !== at) return
    arrived.resolve()
    await leave.promise
  }
  class Halted extends FitWork {
    #hasBegun = false
    override async add(plates: Parameters<FitWork['add']>[0]) {
      if (!this.#hasBegun) await halt('before reading')
      this.#hasBegun = true
      await super.add(plates)
    }
    override async fit(longer: boolean) {
      await halt('while it computes')
      return super.fit(longer)
    }
    override async next() {
      const rows = await super.next()
      if (!rows) await halt('before taking over')
      return rows
    }
  }
  return { place: () => new Halted(fewSweeps), arrived: arrived.promise, goOn: leave.resolve }
}

/** Of the usual length, on a thread of its own if nothing else is said. */
async function asUsual(options: RefitOptions = {}) {
  await db.updateTable('scoringFit').set({ rhat: null }).execute()
  return refit(db, options)
}

describe('a fit', () => {
  test('swaps everything at once, under a number of its own', async () => {
    const before = await groupModel(db)
    await report(3)
    await refitHere(db)
    const after = await groupModel(db)
    expect(after.fit).toBe(before.fit + 1)
    expect(after.notCounted).toBe(0)
    expect(await copiesOf(on.fileId)).toBeGreaterThan(0)
    // Whoever has read the number before the swap still finds what belongs to it.
    expect((await successOfFiles(db, [on.fileId], before)).get(on.fileId)?.[0]?.copies).toBeGreaterThan(0)
    expect(await successOf(before)).not.toEqual(await successOf(after))
    await refitHere(db)
    expect((await successOfFiles(db, [on.fileId], before)).get(on.fileId)?.[0]?.copies).toBe(0)
  })

  const successOf = async (model: GroupModel) =>
    (await successOfFiles(db, [on.fileId], model)).get(on.fileId)?.[0]?.mean

  test('of the same plates gives the same figures, on whatever thread', async () => {
    const before = await keptRows(db)
    expect(before.line_draws?.length).toBeGreaterThan(0)
    await refitHere(db)
    expect(await keptRows(db)).toEqual(before)
    await asUsual()
    const usual = await keptRows(db)
    expect(usual).not.toEqual(before)
    await asUsual({ place: () => new FitWork() })
    expect(await keptRows(db)).toEqual(usual)
  })

  test('counts nothing twice: a report that is changed and changed back, or sent and removed, leaves nothing', async () => {
    const before = await keptRows(db)
    const { id } = await report(4)
    await refitHere(db)
    expect(await keptRows(db)).not.toEqual(before)
    expect((await ada.delete(`/reports/${id}`)).statusCode).toBe(204)
    await refitHere(db)
    expect(await keptRows(db)).toEqual(before)
  })

  test('is one at a time: who comes second is told so, over REST and by page', async () => {
    const { place, arrived, goOn } = halted('while it computes')
    const running = refit(db, { place })
    await arrived
    await expect(refit(db)).rejects.toMatchObject({ status: 409 })
    expect((await odile.post('/scoring/fit')).statusCode).toBe(409)
    const page = await odile.submit('/settings/estimates', {})
    expect([page.statusCode, page.body]).toEqual([409, expect.stringContaining('being updated already')])
    goOn()
    await running
    expect((await odile.post('/scoring/fit')).statusCode).toBe(200)
  })

  test.each(['while it computes', 'before taking over'] as const)('told to stop %s, it changes nothing', async (at) => {
    await report(5)
    const before = await groupModel(db)
    const kept = await keptRows(db)
    const { place, arrived, goOn } = halted(at)
    const stopping = new AbortController()
    const running = refit(db, { place, signal: stopping.signal })
    await arrived
    stopping.abort(new Error('enough'))
    if (at === 'before taking over') goOn()
    await expect(running).rejects.toThrow('enough')
    goOn()
    expect(await keptRows(db)).toEqual(kept)
    expect(await groupModel(db)).toMatchObject({ fit: before.fit, notCounted: 1 })
    await refitHere(db)
    expect(await groupModel(db)).toMatchObject({ fit: before.fit + 2, notCounted: 0 })
  })

  test('that was overtaken does not take over', async () => {
    const { place, arrived, goOn } = halted('before taking over')
    const running = refit(db, { place })
    await arrived
    const before = await groupModel(db)
    await db
      .updateTable('scoringFit')
      .set((eb) => ({ attempt: eb('attempt', '+', 1) }))
      .execute()
    goOn()
    await expect(running).rejects.toThrow('overtaken')
    expect((await groupModel(db)).fit).toBe(before.fit)
  })

  test('takes twice as many sweeps after one whose chains did not agree', async () => {
    const briefly = () => refit(db, { place: () => new FitWork(fewSweeps) })
    const { sweeps } = await refitHere(db)
    await db.updateTable('scoringFit').set({ rhat: 1.051 }).execute()
    expect((await ada.page('/settings')).body).toContain('differ more than they should')
    expect((await briefly()).sweeps).toBe(2 * sweeps)
    await db.updateTable('scoringFit').set({ rhat: 1.049 }).execute()
    expect((await briefly()).sweeps).toBe(sweeps)
  })

  test('what goes wrong on the thread is told here', async () => {
    const steps = fitPlace()
    const plate = { id: 'p', memberId: 'm', period: 'n', crowding: 'about full' as const, day: 1 }
    const print = { id: 'r', line: 'l', sculptor: 's', good: -1, failures: [] }
    await expect(steps.add([{ ...plate, prints: [print] }])).rejects.toThrow('whole numbers')
    await steps.end()
  })
})

describe('while a fit runs', () => {
  test.each(['before reading', 'while it computes', 'before taking over'] as const)(
    'what is reported, %s, waits for nobody, is judged at once and counted by the next fit, once',
    async (at) => {
      const { place, arrived, goOn } = halted(at)
      const running = refit(db, { place })
      await arrived
      const sent = await Promise.all(Array.from({ length: 10 }, (_, index) => report(index % 3)))
      for (const { verdict } of sent.slice(1, 3))
        expect(verdict.file + verdict.machine + verdict.plate).toBeCloseTo(1, 9)
      goOn()
      await running
      expect((await lastFit(db)).notCounted).toBe(10)
      await refitHere(db)
      const kept = await keptRows(db)
      expect((await lastFit(db)).notCounted).toBe(0)
      await refitHere(db)
      expect(await keptRows(db)).toEqual(kept)
    },
  )

  test('what is taken back, divided by upkeep or made older by a revision is so after the next one', async () => {
    const { id } = await report(3)
    const { place, arrived, goOn } = halted('before taking over')
    const running = refit(db, { place })
    await arrived
    await ada.delete(`/reports/${id}`)
    await someUpkeep(ada, on.printerId, '2025-05-01')
    const later = await aRevision(ada, on.fileId)
    await aSupportSet(ada, later.id)
    goOn()
    await running
    expect((await lastFit(db)).newestMarkS).not.toBeNull()
    await refitHere(db)
    expect((await lastFit(db)).newestMarkS).toBeNull()
    // Three plates of six, of one member on one line and period, each worth half.
    expect(await copiesOf(on.fileId)).toBeCloseTo((10 + Math.sqrt(8)) / 2, 9)
    expect((await ada.get(`/printers/${on.printerId}`)).json().periods).toMatchObject([{ reports: 3 }])
  })

  test('a change that is committed only after the fit has read stays marked', async (context) => {
    if (!db.getExecutor().adapter.supportsMultipleConnections) return context.skip('there is one connection')
    const { place, arrived, goOn } = halted('while it computes')
    const written = Promise.withResolvers<void>()
    const commit = Promise.withResolvers<void>()
    const { plateId } = await report(1)
    await refitHere(db)
    const writing = db.transaction().execute(async (trx) => {
      await trx.insertInto('fitMark').values({ id: '01900000-0000-7000-8000-000000000001', plateId }).execute()
      written.resolve()
      await commit.promise
    })
    await written.promise
    const running = refit(db, { place })
    await arrived
    commit.resolve()
    await writing
    goOn()
    await running
    expect((await lastFit(db)).notCounted).toBe(1)
  })
})
