import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { lookOf } from '../../../server/features/printing/printers/rules.ts'
import type { App } from '../../../server/http/route.ts'
import { meanOf } from '../../../server/scoring/draws.ts'
import { drawsOfMachineInOrder, groupDrawsBeforeReports } from '../../../server/scoring/group-draws.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { fieldsOf } from '../../support/forms.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, someUpkeep } from '../../support/printing.ts'
import { aToldPlate } from '../../support/told-plates.ts'

const facts = {
  plateMm: [143, 89],
  buildHeightMm: 175,
  layerUm: 30,
  exposureS: 2.25,
  bottomLayers: 5,
  bottomExposureS: 30,
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
      name: 'Kitchen',
      ...facts,
      state: 'in use',
      lastUpkeepOn: null,
      upkeep: [],
      owner: { name: 'Ada' },
      periods: [{ startsOn: null, reports: 0, tried: 0, good: 0, success: { copies: 0 } }],
      look: { due: false },
    })
    // What is expected of any machine in order.
    expect(made.json().success.mean).toBeCloseTo(meanOf(drawsOfMachineInOrder(groupDrawsBeforeReports())), 1)
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
      plateMm: [200, 120],
      state: 'retired',
      layerUm: 40,
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
    expect(printer.look).toMatchObject({ due: true, because: 'long idle' })
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

  test('a usual size fills the form of a new printer, by a link', async () => {
    const fay = await member(odile, 'Fay')
    const reportOf = '01890000-0000-7000-8000-000000000000'
    const empty = (await fay.page(`/printers/new?reportOf=${reportOf}`)).body
    expect(fieldsOf(empty, '/printers/new').plateWidthMm).toBe('')
    const [, link = ''] = /href="([^"]*size=middle[^"]*)"/.exec(empty) ?? []
    const filled = (await fay.page(link.replaceAll('&amp;', '&'))).body
    const fields = fieldsOf(filled, '/printers/new')
    expect(fields).toMatchObject({ plateWidthMm: '200', plateDepthMm: '120', name: '', reportOf })
    const { body: refused } = await fay.submit('/printers/new', {
      ...fields,
      name: 'Attic',
      plateDepthMm: '',
      buildHeightMm: '',
    })
    // As the form has them, the height after the depth.
    const said = 'How many mm? Enter a number, such as 120.'
    expect(
      [...refused.matchAll(/<a href="#[\w-]*?(\w+)">[^<]*: ([^<]+)<\/a>/g)].map(([, field, words]) => [field, words]),
    ).toEqual([
      ['plateDepthMm', said],
      ['buildHeightMm', said],
    ])
    expect((await fay.submit('/printers/new', { ...fields, name: 'Attic' })).statusCode).toBe(303)
    const [mine] = (await fay.get(`/printers?memberId=${fay.id}`)).json().items
    expect(mine).toMatchObject({ plateMm: [200, 120], buildHeightMm: 200, layerUm: 50, bottomExposureS: 30 })
    for (const size of ['small', 'large'])
      expect(fieldsOf((await fay.page(`/printers/new?size=${size}`)).body, '/printers/new').plateWidthMm).not.toBe('')
    expect((await fay.page('/printers/new?size=huge')).statusCode).toBe(200)
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
    expect(twice.body).toContain('You already have a printer with this name.')

    const future = await eva.submit(`${url}/upkeep`, {
      kind: 'film changed',
      on: '2026-01-01',
      remark: 'mine',
      once: 'u1',
    })
    expect(future.statusCode).toBe(422)
    expect(future.body).toContain('This day is in the future.')
    expect(future.body).toContain('mine')
    const untold = await eva.submit(`${url}/upkeep`, { on: today, once: 'u3' })
    expect(untold.statusCode).toBe(422)
    expect(untold.body).toContain('Choose what was done.')
    await eva.submit(`${url}/upkeep`, { kind: 'other', on: today, remark: 'new feet', once: 'u4' })
    expect((await eva.page(url)).body).toContain('something else')
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
    expect(page).toMatch(/<svg[^>]*role="img" aria-label="Success of the machine by upkeep period. /)
    expect(page).toMatch(/Before any upkeep: \d+ of 100, most likely between \d+ and \d+\./)
    expect(page).toMatch(/Since 1 May 2025 \(film changed\): \d+ of 100/)
    expect(page).toContain('Since 9 May 2025 (plate levelled): nothing printed.')
    // In this drawing, and in that of the film.
    expect(page.match(/class="upkeep-mark"/g)).toHaveLength(4)
    expect(page).not.toMatch(/<svg[^>]*style=/)
    expect(page).toContain('Success of the machine by upkeep period</caption>')
  })

  test('is for members', async () => {
    expect((await outsider(app).get('/printers')).statusCode).toBe(401)
    expect((await outsider(app).page('/printers')).headers.location).toBe('/sign-in?next=%2Fprinters')
    expect((await ada.get('/printers/seven')).statusCode).toBe(404)
  })
})

describe('film and level', () => {
  const seen = 'one side of the plate only' as const
  let db: Db
  let odile: Person
  let close: () => Promise<void>
  let supportSetId: string
  beforeAll(async () => {
    const started = await startApp({ now: () => new Date(`${today}T12:00:00Z`) })
    ;({ db, close } = started)
    odile = await owner(started.app)
    ;({ supportSetId } = await aPrintable(odile))
  })
  afterAll(() => close())

  /** A plate of six a day from a day in August on, so many of which failed on one side of the plate only. */
  async function plates(printerId: string, failed: readonly number[], first = 1): Promise<string[]> {
    const ids: string[] = []
    for (const [index, copies] of failed.entries()) {
      const printedOn = `2025-08-${String(first + index).padStart(2, '0')}`
      const failures = copies > 0 ? [{ seen, copies }] : []
      const prints = [{ supportSetId, good: 6 - copies, failures }]
      ids.push(await aToldPlate(db, { memberId: odile.id, printerId, printedOn, prints }))
    }
    return ids
  }
  const worn = [0, 0, 0, 0, 0, 0, 0, 0, 5, 5, 4]
  const fine = [0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0]
  const lookAt = async (id: string) => (await odile.get(`/printers/${id}`)).json().look

  test('P(worn now), since which plate, and what is said of it: over REST, in the list, on its page, before a plate', async () => {
    const [tired, sound] = [await aPrinter(odile), await aPrinter(odile)]
    const ids = await plates(tired.id, worn)
    await plates(sound.id, fine)
    expect(await lookAt(tired.id)).toMatchObject({
      due: false,
      words: 'Its plates are not counted yet; the figures are being worked out.',
    })
    await refitHere(db)
    const look = await lookAt(tired.id)
    expect(look).toMatchObject({ due: true, because: 'probably worn' })
    expect(look.worn).toBeGreaterThan(0.9)
    expect(look.wornSince).toEqual({ plateId: ids[8], printedOn: '2025-08-09' })
    expect(await lookAt(sound.id)).toMatchObject({ due: false, because: 'nothing speaks for it', wornSince: null })

    const { items } = (await odile.get('/printers')).json()
    expect(items.find(({ id }: { id: string }) => id === tired.id).look).toEqual(look)
    const list = (await odile.page('/printers')).body
    expect(list).toMatch(/level off is \d\d of 100\. Most likely since the plate of <time/)
    // Drawn, too: the latest plates of each of one's own.
    expect(list.match(/<svg class="film-strip"/g)).toHaveLength(2)
    expect(list.match(/film-dot film-dot-failed/g)).toHaveLength(
      worn.filter(Boolean).length + fine.filter(Boolean).length,
    )
    const others = (await (await member(odile, 'Wim')).page('/printers')).body
    expect(others).toMatch(
      /Wants a look<\/strong>: the film may be worn or the level off \(\d\d of 100\), most likely since <time/,
    )
    const page = (await odile.page(`/printers/${tired.id}`)).body
    expect(page).toContain('It wants a look')
    expect(page).toMatch(
      /the chance that its film is worn or its level off is 9\d of 100\. Most likely since the plate of <time/,
    )
    expect((await odile.page('/reports/new')).body).toContain('before the next plate.')
  })

  test('a printer that has done badly ever since its upkeep wants a look, though nothing changed', async () => {
    const { id } = await aPrinter(odile)
    await plates(id, [3, 2, 3, 4, 2, 3, 3, 2, 4, 3, 3, 2])
    await refitHere(db)
    const look = await lookAt(id)
    expect(look.due).toBe(true)
    expect(['worse than in order', 'probably worn']).toContain(look.because)
    expect((await odile.page('/printers')).body).toContain(look.words)
  })

  test('is drawn along its plates: a dot a plate, upkeep, where it most likely began; the same in words and as a table', async () => {
    const { id } = await aPrinter(odile)
    expect((await odile.page(`/printers/${id}`)).body).not.toContain('film-chart')
    await plates(id, [0, 0, 0])
    await someUpkeep(odile, id, '2025-08-04', 'plate levelled')
    await plates(id, worn, 5)
    await refitHere(db)
    await plates(id, [2], 16)
    const { film, look } = (await odile.get(`/printers/${id}`)).json()
    expect(film).toHaveLength(15)
    expect(film[3]).toMatchObject({ printedOn: '2025-08-05', upkeep: ['plate levelled'] })
    expect(film[14]).toMatchObject({ printedOn: '2025-08-16', good: 4, worn: null })
    const chances = film.slice(3, 14).map(({ worn: chance }: { worn: number }) => chance)
    expect(chances).toEqual(chances.toSorted((one: number, other: number) => one - other))
    const page = (await odile.page(`/printers/${id}`)).body
    expect(page.match(/<circle class="film-dot/g)).toHaveLength(15)
    expect(page.match(/class="film-dot film-dot-failed"/g)).toHaveLength(3)
    expect(page.match(/class="film-dot film-dot-waiting"/g)).toHaveLength(1)
    expect(page.match(/class="film-change"/g)).toHaveLength(1)
    expect(page).toMatch(
      /<svg[^>]*role="img"[^>]*aria-label="How likely the film was worn or the level off, plate by plate. /,
    )
    expect(page).toContain('plate levelled before the plate of 5 August 2025.')
    expect(page).toContain('Worn most likely since the plate of 13 August 2025.')
    expect(page).not.toMatch(/<svg[^>]*style=/)
    expect(look.wornSince.printedOn).toBe('2025-08-13')
    expect(page).toContain(`href="/plates/${film[14].id}"`)
    expect(page).toContain('not counted yet')
  })

  test('after upkeep it is in order at once; taken back, it is worn again', async () => {
    const { id } = await aPrinter(odile)
    await plates(id, worn)
    await refitHere(db)
    expect(await lookAt(id)).toMatchObject({ due: true })
    const upkeep = await someUpkeep(odile, id, '2025-08-20')
    expect(await lookAt(id)).toMatchObject({
      due: false,
      worn: 0,
      words: 'Nothing has been reported since its last upkeep to judge it by.',
    })
    expect((await odile.page(`/printers/${id}`)).body).toContain('film changed since the latest plate.')
    await odile.delete(`/upkeep/${upkeep.id}`)
    expect(await lookAt(id)).toMatchObject({ due: true, because: 'probably worn' })
  })

  test('retired, it wants no look any more', async () => {
    const { id } = await aPrinter(odile)
    await plates(id, worn)
    await refitHere(db)
    expect((await odile.patch(`/printers/${id}`, { state: 'retired' })).json().look).toMatchObject({
      due: false,
      words: 'It is retired: no more plates are printed on it.',
    })
    const page = (await odile.page(`/printers/${id}`)).body
    expect(page).not.toContain('It wants a look')
    expect(page).not.toContain('before the next plate')
    expect((await odile.patch(`/printers/${id}`, { state: 'in use' })).json().look).toMatchObject({ due: true })
  })

  test('stood still for months, it wants a look by the calendar; printed on, it is judged by its prints', async () => {
    const [idle, used] = [await aPrinter(odile), await aPrinter(odile)]
    for (const { id } of [idle, used]) await someUpkeep(odile, id, '2025-05-01')
    expect(await lookAt(idle.id)).toMatchObject({ due: true, because: 'long idle' })
    expect((await lookAt(idle.id)).words).toMatch(/^Nothing has been printed on it or done to it for 5 months\./)
    expect((await lookAt(idle.id)).words).toContain('a rule of the trade')
    await plates(used.id, fine)
    await refitHere(db)
    expect(await lookAt(used.id)).toMatchObject({ due: false, because: 'nothing speaks for it' })
  })

  test.each([
    [
      { because: 'usual life of a film', plates: 44, usualLife: 41 },
      /44 plates since its last upkeep; in this group a film lasts about 41/,
    ],
    [{ because: 'usual life of a film', plates: 44, usualLife: 41, startsOn: null }, /44 plates so far; in this group/],
    [{ because: 'worse than in order', mean: 0.71 }, /since its last upkeep fewer .* 71 of 100\), from/],
    [{ because: 'probably worn', worn: 0.999 }, /level off is 99 of 100\.$/],
    [{ worn: 0.002 }, /^No reason to look: .* 1 of 100\.$/],
    [{ plates: 0, startsOn: null }, /^Nothing has been reported so far to judge it by\.$/],
  ] as const)('%o in words', (over, words) => {
    const film = {
      mean: 0.95,
      worn: 0.1,
      wornSince: null,
      plates: 5,
      startsOn: '2025-05-01',
      isCounted: true,
      idleDays: 3,
      usualLife: 41,
    }
    expect(lookOf({ because: 'nothing speaks for it', ...film, ...over }).words).toMatch(words)
  })
})
