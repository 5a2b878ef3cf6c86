import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, reportBody, someUpkeep } from '../../support/printing.ts'

const today = '2025-09-20'
const nowhere = '0190a000-0000-7000-8000-000000000000'

describe('print reports', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  let file: Awaited<ReturnType<typeof aPrintable>>
  let printerId: string
  let bensPrinter: string
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => new Date(`${today}T12:00:00Z`) }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
    file = await aPrintable(ada, { title: 'Sluice Keeper' })
    printerId = (await aPrinter(ada)).id
    bensPrinter = (await aPrinter(ben)).id
  })
  afterAll(() => close())

  const post = (over: Parameters<typeof reportBody>[0]) =>
    ada.post('/reports', reportBody({ supportSetId: file.supportSetId, printerId, ...over }))

  /** Plates told on a printer in its present upkeep period. */
  const platesOn = async (id: string) => (await ada.get(`/printers/${id}`)).json().periods[0].reports
  const copiesBehind = async (fileId: string) => {
    const row = await db.selectFrom('lineDraws').select('copies').where('fileId', '=', fileId).executeTakeFirst()
    return row?.copies ?? 0
  }

  test('a report is kept as it was given, and comes with its verdict', async () => {
    const failures = [
      { seen: 'supports snapped', copies: 1 },
      { seen: 'soft detail', copies: 2 },
    ]
    const answer = await post({ tried: 8, failures, crowding: 'packed', remark: ' left\r\nhalf ', printedOn: today })
    expect(answer.statusCode).toBe(201)
    const { verdict, ...report } = answer.json()
    expect(report).toMatchObject({
      member: { id: ada.id, name: 'Ada' },
      file: { id: file.fileId, title: 'Sluice Keeper' },
      supportSet: { id: file.supportSetId, kind: 'as supplied', revision: 'first release' },
      printer: { id: printerId },
      tried: 8,
      good: 5,
      failures,
      crowding: 'packed',
      remark: 'left\nhalf',
      printedOn: today,
      mended: 0,
      mendedMinutes: null,
    })
    expect(verdict.file + verdict.machine + verdict.plate).toBeCloseTo(1, 12)
    expect(verdict.prints).toMatchObject([{ id: report.id }])
    expect((await ben.get(`/reports/${report.id}`)).json()).toEqual(report)
    expect((await ben.get(`/reports/${report.id}/verdict`)).json()).toEqual(verdict)
    expect((await ben.get(`/reports?fileId=${file.fileId}`)).json().items).toContainEqual(report)
  })

  test('where nothing failed nobody is to blame', async () => {
    const { id, verdict } = await aReport(ada)
    expect(verdict).toEqual({
      file: 0,
      machine: 0,
      plate: 0,
      likely: null,
      prints: [],
      counted: false,
      advice: [],
      wouldTell: null,
      canTell: false,
      upkeepSince: null,
    })
    expect((await ada.get(`/reports/${id}/verdict`)).json()).toEqual(verdict)
  })

  test('counts that do not add up are refused at the failures', async () => {
    const cases = [
      { tried: 6, good: 5, failures: [] },
      { tried: 6, good: 6, failures: [{ seen: 'soft detail', copies: 1 }] },
      { tried: 6, good: 7, failures: [] },
    ]
    for (const over of cases) {
      const answer = await post(over)
      expect(answer.statusCode).toBe(422)
      expect(answer.json().errors).toMatchObject([{ path: '/failures' }])
    }
    const soft = { seen: 'soft detail', copies: 1 }
    const twice = await post({ tried: 6, good: 4, failures: [soft, soft] })
    expect(twice.json().errors).toMatchObject([{ path: '/failures/1/seen' }])
  })

  test('bad values are refused at their field', async () => {
    const cases: [Record<string, unknown>, string][] = [
      [{ tried: 0, good: 0 }, '/tried'],
      [{ tried: 501, good: 501 }, '/tried'],
      [{ good: -1 }, '/good'],
      [{ tried: 2.5, good: 2.5 }, '/tried'],
      [{ failures: [{ seen: 'gremlins', copies: 1 }] }, '/failures/0/seen'],
      [{ failures: [{ seen: 'soft detail', copies: 0 }] }, '/failures/0/copies'],
      [{ crowding: 'crammed' }, '/crowding'],
      [{ crowding: 'loose' }, '/crowding'],
      [{ mended: 1 }, '/mended'],
      [{ mended: -1 }, '/mended'],
      [{ mendedMinutes: 5 }, '/mendedMinutes'],
      [{ printedOn: '2025-09-22' }, '/printedOn'],
      [{ printedOn: '1999-12-31' }, '/printedOn'],
      [{ printedOn: '2025-02-30' }, '/printedOn'],
      [{ supportSetId: nowhere }, '/supportSetId'],
      [{ supportSetId: 'x' }, '/supportSetId'],
      [{ printerId: nowhere }, '/printerId'],
      [{ remark: 'x'.repeat(1001) }, '/remark'],
      [{ remark: 'half \ud800 a pair' }, '/remark'],
      [{ remark: 'nul \u0000' }, '/remark'],
      [{ blame: 'file' }, '/blame'],
    ]
    for (const [over, path] of cases) {
      const answer = await post(over)
      expect([path, answer.statusCode, answer.json().errors?.[0]?.path]).toEqual([path, 422, path])
    }
  })

  test('of the failed copies some can be mended, with the minutes that it took', async () => {
    const failures = [{ seen: 'layers pulled apart', copies: 3 }]
    const made = await aReport(ada, { printerId, failures, mended: 2, mendedMinutes: 15 })
    expect(made).toMatchObject({ tried: 6, good: 3, failures, mended: 2, mendedMinutes: 15 })
    const fewer = { good: 5, failures: [{ seen: 'layers pulled apart', copies: 1 }] }
    expect((await ada.patch(`/reports/${made.id}`, fewer)).json().errors).toMatchObject([{ path: '/mended' }])
    // None is mended any more, so it took no time either.
    const none = await ada.patch(`/reports/${made.id}`, { ...fewer, mended: 0 })
    expect(none.json()).toMatchObject({ good: 5, mended: 0, mendedMinutes: null })
  })

  test("a printer must be one's own and in use", async () => {
    expect((await post({ printerId: bensPrinter })).statusCode).toBe(403)
    const retired = await aPrinter(ada)
    const { id } = await aReport(ada, { printerId: retired.id })
    await ada.patch(`/printers/${retired.id}`, { state: 'retired' })
    expect((await post({ printerId: retired.id })).json().errors).toMatchObject([{ path: '/printerId' }])
    // What was printed on it while it ran can still be set right.
    expect((await ada.patch(`/reports/${id}`, { remark: 'its last one' })).statusCode).toBe(200)
  })

  test("other people's reports are read, not changed", async () => {
    const { id } = await aReport(ada, { printerId })
    const seen = { headers: { 'if-match': '"1"' } }
    expect((await ben.get(`/reports/${id}`)).statusCode).toBe(200)
    expect((await ben.patch(`/reports/${id}`, { remark: 'no' }, seen)).statusCode).toBe(403)
    expect((await ben.delete(`/reports/${id}`, seen)).statusCode).toBe(403)
    expect((await odile.patch(`/reports/${id}`, { remark: 'no' }, seen)).statusCode).toBe(403)
    expect((await odile.delete(`/reports/${id}`)).statusCode).toBe(428)
    expect((await odile.delete(`/reports/${id}`, { headers: { 'if-match': '"2"' } })).statusCode).toBe(412)
    expect((await odile.delete(`/reports/${id}`, seen)).statusCode).toBe(204)
    for (const answer of await Promise.all([
      ada.get(`/reports/${id}`),
      ada.get(`/reports/${id}/verdict`),
      ada.patch(`/reports/${id}`, { remark: 'no' }),
      ada.delete(`/reports/${id}`),
    ]))
      expect(answer.statusCode).toBe(404)
  })

  test('a change is checked as a whole, and moves the evidence to another file and printer', async () => {
    const [from, to] = [await aPrintable(ada), await aPrintable(ada)]
    const [one, other] = [await aPrinter(ada), await aPrinter(ada)]
    const failures = [{ seen: 'stuck to the film', copies: 2 }]
    const { id } = await aReport(ada, { supportSetId: from.supportSetId, printerId: one.id, failures })
    expect((await ada.patch(`/reports/${id}`, { good: 5 })).json().errors).toMatchObject([{ path: '/failures' }])
    expect((await ada.patch(`/reports/${id}`, { printedOn: '2026-01-01' })).statusCode).toBe(422)
    expect((await ada.patch(`/reports/${id}`, { printerId: bensPrinter })).statusCode).toBe(403)
    const change = { good: 6, failures: [], supportSetId: to.supportSetId, printerId: other.id }
    const changed = await ada.patch(`/reports/${id}`, change, { headers: { 'if-match': '"1"' } })
    expect(changed.json()).toMatchObject({ good: 6, failures: [], printer: { id: other.id }, version: 2 })
    expect((await ada.patch(`/reports/${id}`, change, { headers: { 'if-match': '"1"' } })).statusCode).toBe(412)
    await refitHere(db)
    expect([await platesOn(one.id), await platesOn(other.id)]).toEqual([0, 1])
    expect([await copiesBehind(from.fileId), await copiesBehind(to.fileId)]).toEqual([0, 6])
  })

  test('a changed day moves the report into the upkeep period of that day', async () => {
    const printer = await aPrinter(ada)
    await someUpkeep(ada, printer.id, '2025-05-01')
    const { id } = await aReport(ada, { printerId: printer.id, printedOn: '2025-06-01' })
    await ada.patch(`/reports/${id}`, { printedOn: '2025-04-01' })
    expect((await ada.get(`/printers/${printer.id}`)).json().periods).toMatchObject([
      { startsOn: '2025-05-01', reports: 0 },
      { startsOn: null, reports: 1 },
    ])
  })

  test('the same Idempotency-Key twice at once is one report', async () => {
    const options = { headers: { 'idempotency-key': 'plate-1' } }
    const body = reportBody({ supportSetId: file.supportSetId, printerId })
    const answers = await Promise.all([ada.post('/reports', body, options), ada.post('/reports', body, options)])
    expect(answers.map((answer) => answer.statusCode)).toEqual([201, 201])
    expect(answers[0]?.json().id).toBe(answers[1]?.json().id)
  })

  test('lists go by file, printer and member, the latest print first, each report once', async () => {
    const other = await aPrintable(ada)
    const days = ['2025-03-01', '2025-05-01', '2025-04-01', '2025-05-01', '2025-01-01']
    for (const printedOn of days) await aReport(ada, { supportSetId: other.supportSetId, printerId, printedOn })
    await aReport(ben, { supportSetId: other.supportSetId, printerId: bensPrinter })
    const seen: { id: string; printedOn: string }[] = []
    let url = `/reports?fileId=${other.fileId}&memberId=${ada.id}&limit=2`
    for (let turns = 0; url && turns < 9; turns++) {
      const answer = await ben.get(url)
      seen.push(...answer.json().items)
      url = /^<\/api\/v1(.*)>; rel="next"$/.exec(String(answer.headers.link ?? ''))?.[1] ?? ''
    }
    expect(seen.map((report) => report.printedOn)).toEqual(days.toSorted().toReversed())
    expect(new Set(seen.map((report) => report.id)).size).toBe(5)
    const bens = (await ben.get(`/reports?fileId=${other.fileId}&printerId=${bensPrinter}`)).json().items
    expect(bens).toMatchObject([{ member: { name: 'Ben' } }])
    expect((await ben.get('/reports?after=xyz')).statusCode).toBe(422)
    expect((await ben.get('/reports?fileId=xyz')).statusCode).toBe(422)
  })

  test('is for members', async () => {
    expect((await outsider(app).post('/reports', reportBody({}))).statusCode).toBe(401)
    expect((await outsider(app).page('/reports/new')).headers.location).toBe('/sign-in?next=%2Freports%2Fnew')
    expect((await ada.get('/reports/seven')).statusCode).toBe(404)
  })
})
