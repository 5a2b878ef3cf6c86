import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type LookQuestion, type PeriodEvidence, whenToLook } from '../../server/features/printers/rules.ts'
import type { App } from '../../server/http/app-type.ts'
import type { Shape } from '../../server/scoring/beta.ts'
import { Random } from '../../server/scoring/random.ts'
import { member, outsider, owner, type Person, startApp } from '../support/app.ts'
import { aPrinter, aReport, someUpkeep } from '../support/printing.ts'

const facts = {
  plateMm: [143, 89],
  buildHeightMm: 175,
  layerUm: 30,
  exposureS: 2.25,
  bottomLayers: 5,
  bottomExposureS: 28,
  cycleOverheadS: 7.5,
}
const { plateMm: _, ...formFacts } = facts
const asForm = {
  ...Object.fromEntries(Object.entries(formFacts).map(([name, value]) => [name, String(value)])),
  plateWidthMm: '143',
  plateDepthMm: '89,4',
}
const today = '2025-09-20'

describe('printers', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp({ now: () => new Date(`${today}T12:00:00Z`) }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
  })
  afterAll(() => close())

  test('a printer is kept as it was given; nothing is known of it yet', async () => {
    const made = await ada.post('/printers', { name: 'Kitchen', ...facts })
    expect(made.statusCode).toBe(201)
    expect(made.json()).toMatchObject({
      ...{ name: 'Kitchen', ...facts, state: 'in use', lastUpkeepOn: null, upkeep: [], owner: { name: 'Ada' } },
      periods: [{ startsOn: null, reports: 0, tried: 0, good: 0, success: { copies: 0 } }],
      look: { due: false },
    })
    // SCORING's starting value for a machine after upkeep, Beta(9, 1).
    expect(made.json().success.mean).toBeCloseTo(0.9, 12)
    expect((await ben.get(`/printers/${made.json().id}`)).json()).toEqual(made.json())
    expect((await ben.get(`/printers?memberId=${ada.id}`)).json().items).toMatchObject([{ name: 'Kitchen' }])
    expect((await ben.get(`/printers?memberId=${ben.id}`)).json()).toEqual({ items: [], next: null })
  })

  test('the first printer becomes the usual one', async () => {
    const dora = await member(odile, 'Dora')
    const first = await aPrinter(dora)
    await aPrinter(dora)
    expect((await dora.get('/me')).json().defaultPrinterId).toBe(first.id)
  })

  test('bad values are refused at their field', async () => {
    const cases: [Record<string, unknown>, string][] = [
      [{ plateMm: [143] }, '/plateMm'],
      [{ plateMm: [143, -1] }, '/plateMm/1'],
      [{ layerUm: 0 }, '/layerUm'],
      [{ exposureS: '2.5' }, '/exposureS'],
      [{ bottomLayers: 2.5 }, '/bottomLayers'],
      [{ name: ' ' }, '/name'],
      [{ name: 'x'.repeat(81) }, '/name'],
      [{ plateWidthMm: 143 }, '/plateWidthMm'],
    ]
    for (const [over, path] of cases) {
      const answer = await ada.post('/printers', { name: 'Wrong', ...facts, ...over })
      expect([over, answer.statusCode]).toEqual([over, 422])
      expect(answer.json().errors[0].path).toMatch(new RegExp(`^${path}`))
    }
    expect((await ada.post('/printers', { name: 'kitchen', ...facts })).statusCode).toBe(409)
    expect((await ben.post('/printers', { name: 'Kitchen', ...facts })).statusCode).toBe(201)
  })

  test('only its owner changes a printer, or a steward who has seen it', async () => {
    const { id } = await aPrinter(ada)
    const seen = { headers: { 'if-match': '*' } }
    expect((await ben.patch(`/printers/${id}`, { layerUm: 40 }, seen)).statusCode).toBe(403)
    expect((await odile.patch(`/printers/${id}`, { layerUm: 40 })).statusCode).toBe(428)
    const etag = String((await odile.get(`/printers/${id}`)).headers.etag)
    const headers = { 'if-match': etag }
    expect((await odile.patch(`/printers/${id}`, { layerUm: 40 }, { headers })).json()).toMatchObject({ layerUm: 40 })
    expect((await ada.patch(`/printers/${id}`, { layerUm: 50 }, { headers })).statusCode).toBe(412)
    expect((await ada.patch(`/printers/${id}`, { plateMm: [200, 120], state: 'retired' })).json()).toMatchObject({
      ...{ plateMm: [200, 120], state: 'retired', layerUm: 40 },
    })
    expect((await ada.patch(`/printers/${id}`, { owner: ben.id })).statusCode).toBe(422)
  })

  test('upkeep starts a period; the same day starts no second one', async () => {
    const { id } = await aPrinter(ada)
    await aReport(ada, { printerId: id, printedOn: '2025-04-30' })
    await someUpkeep(ada, id, '2025-05-01')
    await someUpkeep(ada, id, '2025-05-01', 'vat filtered')
    await aReport(ada, { printerId: id, printedOn: '2025-05-01' })
    const printer = (await ben.get(`/printers/${id}`)).json()
    expect(printer.lastUpkeepOn).toBe('2025-05-01')
    expect(printer.upkeep.map((upkeep: { kind: string }) => upkeep.kind)).toEqual(['vat filtered', 'film changed'])
    expect(printer.periods).toMatchObject([
      { startsOn: '2025-05-01', reports: 1, tried: 6, good: 6 },
      { startsOn: null, reports: 1 },
    ])
    expect(printer.look).toMatchObject({ due: true, because: 'long ago' })
  })

  test('a plate that was reported before the upkeep of its day stays in the period that it was printed in', async () => {
    const { id } = await aPrinter(ada)
    const reports = async () => (await ada.get(`/printers/${id}`)).json().periods.map((one: Period) => one.reports)
    type Period = { reports: number }
    const failed = await aReport(ada, { printerId: id, printedOn: '2025-05-01' })
    await aReport(ada, { printerId: id, printedOn: '2025-05-02' })
    await someUpkeep(ada, id, '2025-05-01')
    expect(await reports()).toEqual([1, 1])
    await aReport(ada, { printerId: id, printedOn: '2025-05-01' })
    expect(await reports()).toEqual([2, 1])
    await ada.patch(`/reports/${failed.id}`, { remark: 'no change of the day', printedOn: '2025-05-01' })
    expect(await reports()).toEqual([2, 1])
    await someUpkeep(ada, id, '2025-04-01')
    expect(await reports()).toEqual([2, 1])
    await ada.patch(`/reports/${failed.id}`, { printedOn: '2025-05-02' })
    expect(await reports()).toEqual([3, 0])
  })

  test('upkeep in the future, of an unknown kind, or of a printer that is not there', async () => {
    const { id } = await aPrinter(ada)
    const note = (body: Record<string, unknown>) => ada.post(`/printers/${id}/upkeep`, body)
    expect((await note({ kind: 'film changed', on: '2025-09-22' })).json().errors[0].path).toBe('/on')
    // Far to the east the next day has begun already.
    expect((await note({ kind: 'film changed', on: '2025-09-21' })).statusCode).toBe(201)
    expect((await note({ kind: 'film changed', on: '1999-12-31' })).statusCode).toBe(422)
    expect((await note({ kind: 'film changed', on: '2025-02-30' })).statusCode).toBe(422)
    expect((await note({ kind: 'polished', on: today })).statusCode).toBe(422)
    expect((await note({ kind: 'other', on: today, remark: 'a\u0000b' })).statusCode).toBe(422)
    const nowhere = '/printers/0190a000-0000-7000-8000-000000000000'
    expect((await ada.post(`${nowhere}/upkeep`, { kind: 'other', on: today })).statusCode).toBe(404)
    expect((await ada.get(nowhere)).statusCode).toBe(404)
    expect((await ada.patch(nowhere, { layerUm: 50 })).statusCode).toBe(404)
  })

  test("nobody notes upkeep of another's printer, but a steward may", async () => {
    const { id } = await aPrinter(ada)
    const body = { kind: 'plate levelled', on: today }
    expect((await ben.post(`/printers/${id}/upkeep`, body, { headers: { 'if-match': '*' } })).statusCode).toBe(403)
    expect((await odile.post(`/printers/${id}/upkeep`, body)).statusCode).toBe(428)
    expect((await odile.post(`/printers/${id}/upkeep`, body, { headers: { 'if-match': '"1"' } })).statusCode).toBe(201)
  })

  test('the pages: mine and the others, add, look at, note upkeep, change', async () => {
    const eva = await member(odile, 'Eva')
    expect((await eva.page('/printers')).body).toContain('You have no printer here yet')
    const refused = await eva.submit('/printers/new', { ...asForm, name: 'Shed', layerUm: 'thin', once: 'p1' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('value="thin"')
    const added = await eva.submit('/printers/new', { ...asForm, name: 'Shed <b>', once: 'p2' })
    expect(added.statusCode).toBe(303)
    const url = String(added.headers.location).split('?')[0] ?? ''
    expect((await eva.submit('/printers/new', { ...asForm, name: 'Shed <b>', once: 'p2' })).headers.location).toBe(
      added.headers.location,
    )
    const page = await eva.page(url)
    expect(page.body).toContain('Shed &lt;b>')
    expect(page.body).toContain('143 × 89.4 mm')
    const twice = await eva.submit('/printers/new', { ...asForm, name: 'Shed <b>', once: 'p3' })
    expect(twice.statusCode).toBe(422)
    expect(twice.body).toContain('There is a printer of this name already.')

    const future = await eva.submit(`${url}/upkeep`, {
      kind: 'film changed',
      on: '2026-01-01',
      remark: 'mine',
      once: 'u1',
    })
    expect(future.statusCode).toBe(422)
    expect(future.body).toContain('That day has not come yet.')
    expect(future.body).toContain('mine')
    const noted = await eva.submit(`${url}/upkeep`, { kind: 'film changed', on: today, remark: 'torn', once: 'u2' })
    expect(noted.statusCode).toBe(303)
    expect((await eva.page(String(noted.headers.location))).body).toContain('The upkeep is noted.')
    expect((await ben.page(url)).body).toContain('torn')
    expect((await ben.page(url)).body).not.toContain('Note upkeep')
    expect((await ben.submit(`${url}/upkeep`, { kind: 'other', on: today, version: '1' })).statusCode).toBe(403)

    const edit = await eva.page(`${url}/edit`)
    expect(edit.body).toContain('value="89.4"')
    const changed = await eva.submit(`${url}/edit`, { ...asForm, name: 'Shed', state: 'retired', version: '1' })
    expect(changed.statusCode).toBe(303)
    expect(
      (await eva.submit(`${url}/edit`, { ...asForm, name: 'Barn', state: 'in use', version: '1' })).statusCode,
    ).toBe(422)
    expect((await eva.page('/printers')).body).toContain('retired')
    expect((await eva.page('/printers')).body).toContain('Kitchen')
    expect((await ben.page(`${url}/edit`)).statusCode).toBe(403)
    expect((await odile.page(`${url}/edit`)).statusCode).toBe(200)
  })

  test('draws its success by upkeep, in words for who does not see it, with the table beside it', async () => {
    const { id } = await aPrinter(ada)
    expect((await ada.page(`/printers/${id}`)).body).not.toContain('upkeep-chart')
    await aReport(ada, { printerId: id, printedOn: '2025-04-30' })
    await someUpkeep(ada, id, '2025-05-01')
    await aReport(ada, { printerId: id, printedOn: '2025-05-02', failures: [{ seen: 'stuck to the film', copies: 2 }] })
    await someUpkeep(ada, id, '2025-05-09', 'plate levelled')
    const page = (await ben.page(`/printers/${id}`)).body
    expect(page).toMatch(/<svg[^>]*role="img"[^>]*aria-labelledby="upkeep-chart-title upkeep-chart-words"/)
    expect(page).toContain('<title id="upkeep-chart-title">Success of the machine by upkeep period</title>')
    expect(page).toMatch(/Before any upkeep: \d+ of 100, most likely between \d+ and \d+\./)
    expect(page).toMatch(/Since 1 May 2025 \(film changed\): \d+ of 100/)
    expect(page).toContain('Since 9 May 2025 (plate levelled): nothing printed.')
    expect(page.match(/class="upkeep-mark"/g)).toHaveLength(2)
    expect(page).not.toMatch(/<svg[^>]*style=/)
    expect(page).toContain('Success of the machine by upkeep period</caption>')
  })

  test('is for members', async () => {
    expect((await outsider(app).get('/printers')).statusCode).toBe(401)
    expect((await outsider(app).page('/printers')).headers.location).toBe('/sign-in?next=%2Fprinters')
    expect((await ada.get('/printers/seven')).statusCode).toBe(404)
  })
})

describe('a retired printer', () => {
  test('wants no look any more, however it printed last', async () => {
    const { app, close } = await startApp()
    const odile = await owner(app)
    const { id } = await aPrinter(odile)
    const failures = [{ seen: 'one side of the plate only', copies: 5 }]
    for (const printedOn of ['2025-06-01', '2025-06-02']) await aReport(odile, { printerId: id, printedOn, failures })
    expect((await odile.get(`/printers/${id}`)).json().look).toMatchObject({ due: true })
    expect((await odile.patch(`/printers/${id}`, { state: 'retired' })).json().look).toMatchObject({ due: false })
    expect((await odile.get(`/printers/${id}`)).json().look.words).toBe(
      'It is retired: no more plates are printed on it.',
    )
    const page = (await odile.page(`/printers/${id}`)).body
    expect(page).not.toContain('It wants a look')
    expect(page).not.toContain('before the next plate')
    expect((await odile.patch(`/printers/${id}`, { state: 'in use' })).json().look).toMatchObject({ due: true })
    await close()
  })
})

describe('when to look at film and level', () => {
  const good = { shape: [57, 3] as const, tried: 60 }
  const bad = { shape: [24, 16] as const, tried: 40 }
  const calm: Omit<LookQuestion, 'periods' | 'daysSinceUpkeep'> = {
    goodMachine: [57, 3],
    lately: { plates: 5, failedPlates: 0, machineShare: 0 },
    halves: { plates: 20, earlier: [40, 2], later: [40, 2] },
  }

  test('worse than before, worse than the others, long ago, or not at all', () => {
    const ask = (periods: PeriodEvidence[], daysSinceUpkeep: number | null) =>
      whenToLook({ ...calm, periods, daysSinceUpkeep })
    expect(ask([bad, good], 20)).toMatchObject({ due: true, because: 'worse than before' })
    expect(ask([bad, good], 20).words).toContain('60 of 100')
    expect(ask([bad, good], 20).words).toContain('95 of 100')
    expect(ask([bad], null)).toMatchObject({ due: true, because: 'below the others' })
    expect(ask([good, bad], 150)).toMatchObject({ due: true, because: 'long ago' })
    expect(ask([good, bad], 150).words).toContain('a rule of the trade')
    // It stands under "It wants a look", so it must not say that there is no reason for one.
    expect(ask([good, bad], 150).words).not.toContain('no reason')
    expect(ask([good, bad], 100)).toMatchObject({ due: false, because: 'nothing speaks for it' })
    expect(ask([good, bad], 100).words).toMatch(/^No reason to look yet/)
    expect(ask([{ shape: [9, 3], tried: 2 }, good], 3)).toMatchObject({ due: false })
    expect(ask([], null).words).toMatch(/^Too few prints/)
  })

  test('most of the blame for what failed lately, once more than one plate did', () => {
    const ask = (failedPlates: number, machineShare: number) =>
      whenToLook({
        ...calm,
        periods: [good],
        daysSinceUpkeep: 3,
        lately: { plates: 5, failedPlates, machineShare },
      })
    expect(ask(4, 0.72)).toMatchObject({ due: true, because: 'most of the blame' })
    expect(ask(4, 0.72).words).toContain('4 of its last 5 plates had failures, and 72 of 100')
    expect(ask(4, 0.6)).toMatchObject({ due: false })
    expect(ask(1, 0.9)).toMatchObject({ due: false })
  })

  test('speaks of no upkeep that was never noted, and of no prints that were never made', () => {
    const halves = { plates: 20, earlier: [40, 2], later: [30, 12] } as const
    const worse = (daysSinceUpkeep: number | null) =>
      whenToLook({ ...calm, periods: [good], daysSinceUpkeep, halves }).words
    expect(worse(3)).toContain('it is getting worse since its last upkeep. Over its latest 20 plates')
    expect(worse(null)).toContain('it is getting worse. Over its latest 20 plates')
    const idle = whenToLook({
      ...{ ...calm, periods: [{ shape: [9, 1] as const, tried: 0 }, good], daysSinceUpkeep: 200 },
      lately: { plates: 0, failedPlates: 0, machineShare: 0 },
      halves: { plates: 0, earlier: [9, 1], later: [9, 1] },
    })
    expect(idle).toMatchObject({ due: false })
    expect(idle.words).toBe('Nothing was reported since the last upkeep to judge it by.')
  })

  test('getting worse within a period', () => {
    const ask = (plates: number, later: Shape) =>
      whenToLook({
        ...calm,
        periods: [good],
        daysSinceUpkeep: 3,
        halves: { plates, earlier: [40, 2], later },
      })
    expect(ask(20, [30, 12])).toMatchObject({ due: true, because: 'getting worse' })
    expect(ask(20, [30, 12]).words).toContain('71 of 100 copies through, over the 20 before them 95 of 100')
    expect(ask(4, [30, 12])).toMatchObject({ due: false })
    expect(ask(20, [39, 3])).toMatchObject({ due: false })
  })

  test('of a thousand printers that do not wear, few are said to be getting worse; of those that do, most', () => {
    const random = new Random(11)
    const half = (success: number): Shape => {
      const good = Array.from({ length: 80 }, () => random.uniform() < success).filter(Boolean).length
      return [9 + good / 1.3, 1 + (80 - good) / 1.3]
    }
    const alarms = (before: number, after: number) =>
      Array.from({ length: 1000 }, () =>
        whenToLook({
          ...calm,
          periods: [good],
          daysSinceUpkeep: 3,
          halves: { plates: 20, earlier: half(before), later: half(after) },
        }),
      ).filter(({ because }) => because === 'getting worse').length
    expect(alarms(0.95, 0.95)).toBeLessThan(60)
    expect(alarms(0.96, 0.78)).toBeGreaterThan(800)
  })
})
