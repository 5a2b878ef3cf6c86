import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { currentFit, refit } from '../../server/features/evidence/queries.ts'
import type { App } from '../../server/http/app-type.ts'
import { member, outsider, owner, type Person, startApp } from '../support/app.ts'
import { aFile, aRevision, aSupportSet } from '../support/catalogue.ts'
import { aPrintable, aPrinter, aReport, reportBody, someUpkeep } from '../support/printing.ts'
import { aProposal, aRequest } from '../support/requests.ts'

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
      ...{ tried: 8, good: 5, failures, crowding: 'packed', remark: 'left\nhalf', printedOn: today },
    })
    expect(verdict.file + verdict.machine + verdict.plate).toBeCloseTo(1, 12)
    expect((await ben.get(`/reports/${report.id}`)).json()).toEqual(report)
    expect((await ben.get(`/reports/${report.id}/verdict`)).json()).toEqual(verdict)
    expect((await ben.get(`/reports?fileId=${file.fileId}`)).json().items).toContainEqual(report)
  })

  test('where nothing failed nobody is to blame', async () => {
    const { id, verdict } = await aReport(ada)
    expect(verdict).toEqual({ file: 0, machine: 0, plate: 0, advice: [], canTell: false, upkeepSince: null })
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
    const rows = await db
      .selectFrom('printSuccess')
      .select(['fileId', 'x', 'y', 'copies'])
      .where('fit', '=', currentFit)
      .execute()
    expect(rows.find((row) => row.fileId === from.fileId)).toMatchObject({ x: 0, y: 0, copies: 0 })
    // 6 copies at 1 / (1 + 5 x 0.1)
    expect(rows.find((row) => row.fileId === to.fileId)?.x).toBeCloseTo(4, 9)
    expect((await ada.get(`/printers/${one.id}`)).json().success.copies).toBe(0)
    expect((await ada.get(`/printers/${other.id}`)).json().success.copies).toBeCloseTo(4, 9)
  })

  test('a changed day moves the report into the upkeep period of that day', async () => {
    const printer = await aPrinter(ada)
    await someUpkeep(ada, printer.id, '2025-05-01')
    const { id } = await aReport(ada, { printerId: printer.id, printedOn: '2025-06-01' })
    await ada.patch(`/reports/${id}`, { printedOn: '2025-04-01' })
    expect((await ada.get(`/printers/${printer.id}`)).json().periods).toMatchObject([
      { startsOn: '2025-05-01', reports: 0, success: { copies: 0 } },
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

describe('whose fault it was', () => {
  let db: Db
  let close: () => Promise<void>
  let people: Person[]
  let printers: string[]
  beforeAll(async () => {
    const started = await startApp()
    ;({ db, close } = started)
    const odile = await owner(started.app)
    people = [odile, await member(odile, 'Ada'), await member(odile, 'Ben')]
    printers = await Promise.all(people.map(async (person) => (await aPrinter(person)).id))
  })
  afterAll(() => close())

  type Over = Parameters<typeof aReport>[1]
  const report = (who: number, over: Over = {}) =>
    aReport(people[who] as Person, { printerId: printers[who] ?? '', ...over })
  const codes = (made: Awaited<ReturnType<typeof aReport>>) => made.verdict.advice.map(({ code }) => code)

  test('a worn machine: it fails on files that others print well', async () => {
    const files = await Promise.all([1, 2, 3].map(() => aPrintable(people[0] as Person)))
    for (const { supportSetId } of files)
      for (const who of [0, 1]) for (const _ of [1, 2]) await report(who, { supportSetId })
    let last = await report(2, { supportSetId: files[0]?.supportSetId ?? '' })
    for (const { supportSetId } of [...files, ...files])
      last = await report(2, { supportSetId, failures: [{ seen: 'one side of the plate only', copies: 4 }] })
    expect(last.verdict.machine).toBeGreaterThan(0.8)
    expect(last.verdict.canTell).toBe(true)
    expect(codes(last)[0]).toBe('look at the printer')
    // Four plates of six copies each for every file, elsewhere all good.
    expect(last.verdict.advice[0]?.words).toContain(
      '5 of the last 5 plates on this printer had failures, with 3 different files, of which other printers bring 100 of 100 through (72 of 72 copies)',
    )
    expect((await people[0]?.get(`/printers/${printers[2]}`))?.json().look).toMatchObject({ due: true })
    await refit(db)
    const again = (await people[0]?.get(`/reports/${last.id}/verdict`))?.json()
    expect(again.machine).toBeGreaterThan(0.8)
  })

  test('a bad file: it fails on every printer, which print others well', async () => {
    const bad = await aPrintable(people[0] as Person)
    const failures = [
      { seen: 'part had no support', copies: 3 },
      { seen: 'supports snapped', copies: 1 },
    ]
    await report(0, { supportSetId: bad.supportSetId, failures })
    const last = await report(1, { supportSetId: bad.supportSetId, failures })
    expect(last.verdict.file).toBeGreaterThan(0.8)
    expect(codes(last)).toEqual(['other supports or another file'])
    expect(last.verdict.advice[0]?.words).toContain('other printers bring 33 of 100 through (2 of 6 copies)')
  })

  test('a crowded plate: packed ones fail where the same file and printer do well half empty', async () => {
    const { supportSetId } = await aPrintable(people[0] as Person)
    const failures = [{ seen: 'layers pulled apart', copies: 3 }]
    for (const who of [0, 1])
      for (let turn = 0; turn < 6; turn++) await report(who, { supportSetId, crowding: 'loose' })
    for (const who of [0, 1]) {
      for (let turn = 0; turn < 4; turn++) await report(who, { supportSetId, crowding: 'packed', failures })
    }
    // What is known of packed plates waits for the full fit.
    await refit(db)
    const last = await report(0, { supportSetId, crowding: 'packed', failures })
    expect(last.verdict.plate).toBeGreaterThan(0.6)
    expect(codes(last)).toEqual(['fewer copies a plate'])
    expect(last.verdict.advice[0]?.words).toMatch(/packed plates bring \d\d of 100 copies through in this group/)
  })

  test('worse than before its last upkeep, as far as the evidence goes', async () => {
    const { supportSetId } = await aPrintable(people[0] as Person)
    const printer = await aPrinter(people[0] as Person)
    const on = (printedOn: string, over: Over = {}) =>
      report(0, { supportSetId, printerId: printer.id, printedOn, ...over })
    for (const day of ['01', '02', '03', '04', '05']) await on(`2025-02-${day}`)
    await someUpkeep(people[0] as Person, printer.id, '2025-03-01', 'other')
    for (const day of ['02', '03'])
      await on(`2025-03-${day}`, { failures: [{ seen: 'one side of the plate only', copies: 3 }] })
    const last = await on('2025-03-04', { failures: [{ seen: 'part had no support', copies: 1 }] })
    expect(codes(last)).toContain('look at the printer')
    expect(last.verdict.advice[0]?.words).toContain('since its last upkeep it very likely prints worse than before')
  })
})

describe('reporting by page', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp({ now: () => new Date(`${today}T12:00:00Z`) }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
  })
  afterAll(() => close())

  const idIn = (location: unknown) => /\/reports\/([0-9a-f-]{36})/.exec(String(location))?.[1] ?? ''

  test('without a printer the page leads to adding one', async () => {
    const { fileId } = await aPrintable(odile)
    const page = await ada.page(`/reports/new?fileId=${fileId}`)
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('href="/printers/new')
  })

  test('the first tap: files that one has, settled on or printed, and whatever is looked for', async () => {
    const printer = await aPrinter(ada)
    const printed = await aPrintable(odile, { title: 'Dyke Runners' })
    await aReport(ada, { supportSetId: printed.supportSetId, printerId: printer.id })
    const archived = await aFile(odile, { title: 'Heron Riders' })
    await ada.put(`/archive/${archived.id}`, {})
    const request = await aRequest(ada)
    const { file } = await aProposal(odile, request.id)
    await ada.patch(`/requests/${request.id}`, { state: 'settled', fileId: file.id })
    await aFile(odile, { title: 'Peat Golem' })
    const page = (await ada.page('/reports/new')).body
    for (const title of ['Dyke Runners', 'Heron Riders', file.title]) expect(page).toContain(title)
    expect(page).not.toContain('Peat Golem')
    expect((await ada.page('/reports/new?q=peat%20golm')).body).toContain('Peat Golem')
    expect((await ada.page('/reports/new?q=steam%20tractor')).body).toContain('No file is called anything like')
    expect((await ada.page(`/reports/new?requestId=${request.id}`)).body).toContain(`fileId=${file.id}`)
    expect((await ada.page(`/reports/new?fileId=${nowhere}`)).statusCode).toBe(404)
    expect((await ada.page('/reports/new?fileId=seven')).statusCode).toBe(200)
  })

  test('a report in three taps, refused with what was typed, then kept once with its verdict', async () => {
    const { id: printerId } = await aPrinter(ada)
    const { fileId, supportSetId } = await aPrintable(odile)
    expect((await ada.page(`/reports/new?fileId=${fileId}`)).body).toContain('stuck to the film')
    const typed = {
      ...{
        fileId,
        supports: supportSetId,
        printerId,
        printedOn: today,
        crowding: 'loose',
        remark: '<script>x</script>',
      },
      ...{ tried: '6', good: '3', 'failures.supports snapped': '4', 'failures.soft detail': '' },
    }
    const refused = await ada.submit('/reports/new', { ...typed, once: 'r1' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('3 good and 4 failed are not the 6 that were tried.')
    expect(refused.body).toContain('&lt;script>')
    const sent = { ...typed, 'failures.supports snapped': '2', once: 'r2' }
    const kept = await ada.submit('/reports/new', sent)
    expect(kept.statusCode).toBe(303)
    expect((await ada.submit('/reports/new', sent)).headers.location).toBe(kept.headers.location)
    const id = idIn(kept.headers.location)
    const failures = [
      { seen: 'supports snapped', copies: 2 },
      { seen: "don't know", copies: 1 },
    ]
    expect((await ada.get(`/reports/${id}`)).json()).toMatchObject({ tried: 6, good: 3, failures, crowding: 'loose' })
    const page = (await ada.page(String(kept.headers.location))).body
    expect(page).toContain('Your report is kept.')
    expect(page).toContain('class="verdict"')
    expect(page).not.toContain('<script>x')
    expect(page).toContain('safety data sheet')
  })

  test('a file without revision gets one as first seen, with the supports that were chosen', async () => {
    const { id: printerId } = await aPrinter(ada)
    const bare = await aFile(odile)
    const typed = { fileId: bare.id, printerId, printedOn: today, crowding: 'normal', tried: '2', good: '2' }
    const unsaid = await ada.submit('/reports/new', { ...typed, once: 'b0' })
    expect(unsaid.statusCode).toBe(422)
    const kept = await ada.submit('/reports/new', { ...typed, supports: 'own supports', once: 'b1' })
    expect(kept.statusCode).toBe(303)
    const report = (await ada.get(`/reports/${idIn(kept.headers.location)}`)).json()
    expect(report.supportSet).toMatchObject({ kind: 'own supports', revision: 'as first seen' })
    const again = await ada.submit('/reports/new', { ...typed, supports: 'own supports', once: 'b2' })
    expect((await ada.get(`/reports/${idIn(again.headers.location)}`)).json().supportSet.id).toBe(report.supportSet.id)
    await ada.submit('/reports/new', { ...typed, supports: 'as supplied', once: 'b3' })
    const { revisions } = (await ada.get(`/files/${bare.id}`)).json()
    expect(revisions).toHaveLength(1)
    expect(revisions[0].supportSets).toHaveLength(2)
  })

  test("supports of another file's are refused", async () => {
    const { id: printerId } = await aPrinter(ada)
    const [one, other] = [await aPrintable(odile), await aPrintable(odile)]
    const typed = { printerId, printedOn: today, crowding: 'normal', tried: '2', good: '2', once: 'o1' }
    const answer = await ada.submit('/reports/new', { ...typed, fileId: one.fileId, supports: other.supportSetId })
    expect(answer.statusCode).toBe(422)
  })

  test('the newest supports stand first, older ones can be chosen', async () => {
    await aPrinter(ada)
    const { fileId, supportSetId } = await aPrintable(odile)
    const second = await aRevision(odile, fileId, { label: 'second cut' })
    const newer = await aSupportSet(odile, second.id)
    const page = (await ada.page(`/reports/new?fileId=${fileId}`)).body
    expect(page.indexOf(newer.id)).toBeGreaterThan(0)
    expect(page.indexOf(supportSetId)).toBeGreaterThan(page.indexOf(newer.id))
  })

  test('who chooses a file is told of a printer of theirs that wants a look', async () => {
    const gus = await member(odile, 'Gus')
    const { id: printerId } = await aPrinter(gus, { name: 'Boathouse' })
    expect((await gus.page('/reports/new')).body).not.toContain('wants a look first')
    for (let plate = 0; plate < 3; plate++) {
      const { supportSetId } = await aPrintable(odile)
      await aReport(gus, { supportSetId, printerId, failures: [{ seen: 'one side of the plate only', copies: 3 }] })
    }
    const { look } = (await gus.get(`/printers/${printerId}`)).json()
    expect(look).toMatchObject({ due: true, because: 'most of the blame' })
    expect(look.words).toContain('3 of its last 3 plates had failures')
    const page = (await gus.page('/reports/new')).body
    expect(page).toMatch(/Boathouse<\/a> wants a look first/)
    expect(page).toContain('3 of its last 3 plates had failures')
    expect((await ada.page('/reports/new')).body).not.toContain('Boathouse')
  })

  test('two who report the first print of a file at once make one “as first seen” between them', async () => {
    const { id: fileId } = await aFile(ada)
    const printers = await Promise.all([aPrinter(ada), aPrinter(odile)])
    const sent = [ada, odile].map((who, index) =>
      who.submit('/reports/new', {
        ...{ fileId, supports: 'own supports', printerId: printers[index]?.id ?? '', printedOn: '2025-06-01' },
        ...{ tried: '4', good: '4', crowding: 'normal', once: `first-${index}` },
      }),
    )
    expect((await Promise.all(sent)).map(({ statusCode }) => statusCode)).toEqual([303, 303])
    const { revisions } = (await ada.get(`/files/${fileId}`)).json()
    expect(revisions).toMatchObject([{ label: 'as first seen', supportSets: [{ kind: 'own supports' }] }])
    expect((await ada.get(`/reports?fileId=${fileId}`)).json().items).toHaveLength(2)
  })

  test('one changes and removes what is one’s own, by page', async () => {
    const { id: printerId } = await aPrinter(ada)
    const { fileId, supportSetId } = await aPrintable(odile)
    const { id } = await aReport(ada, { supportSetId, printerId, failures: [{ seen: 'soft detail', copies: 1 }] })
    expect((await odile.page(`/reports/${id}`)).body).not.toContain(`/reports/${id}/edit`)
    expect((await odile.page(`/reports/${id}/edit`)).statusCode).toBe(403)
    const edit = (await ada.page(`/reports/${id}/edit`)).body
    expect(edit).toContain('name="failures.soft detail"')
    const typed = {
      ...{ supports: supportSetId, printerId, printedOn: today, crowding: 'normal', tried: '6', good: '6', remark: '' },
      ...{ 'failures.soft detail': '', version: '1' },
    }
    const changed = await ada.submit(`/reports/${id}/edit`, typed)
    expect(changed.statusCode).toBe(303)
    expect((await ada.get(`/reports/${id}`)).json()).toMatchObject({ good: 6, failures: [], version: 2 })
    expect((await ada.submit(`/reports/${id}/edit`, typed)).statusCode).toBe(422)
    expect((await odile.submit(`/reports/${id}/edit`, { ...typed, version: '2' })).statusCode).toBe(403)
    const removed = await ada.submit(`/reports/${id}/remove`, { version: '2' })
    expect(removed.statusCode).toBe(303)
    expect(String(removed.headers.location)).toContain(`/files/${fileId}`)
    expect((await ada.page(`/reports/${id}`)).statusCode).toBe(404)
  })

  test("a sculptor who asked not to be named is named in no report's page", async () => {
    const { id: printerId } = await aPrinter(odile)
    const sculptor = { name: 'Morwen Sedgeley', credit: 'unnamed' }
    const { fileId, supportSetId } = await aPrintable(odile, { sculptor, title: "Morwen Sedgeley's Eel" })
    const { id } = await aReport(odile, {
      supportSetId,
      printerId,
      remark: 'by Morwen Sedgeley, see https://shop.example',
    })
    const own = await aReport(ada, { supportSetId, printerId: (await aPrinter(ada)).id })
    const urls = [
      `/reports/${id}`,
      `/reports/${own.id}`,
      `/reports/${own.id}/edit`,
      `/reports/new?fileId=${fileId}`,
      '/reports/new?q=eel',
    ]
    for (const url of urls) {
      const page = (await ada.page(url)).body
      expect(page).not.toContain('Sedgeley')
      expect(page).not.toContain('shop.example')
    }
    expect((await ada.get(`/reports?fileId=${fileId}`)).body).not.toMatch(/Sedgeley|shop\.example/)
    expect((await odile.get(`/reports?fileId=${fileId}`)).body).toContain('Sedgeley')
    expect((await ada.page('/reports/new?q=sedgeley')).body).not.toContain(fileId)
  })
})
