import type { LightMyRequestResponse } from 'fastify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { aFile, aRevision, aSupportSet } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, plateForm } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

const today = '2025-09-20'
const nowhere = '0190a000-0000-7000-8000-000000000000'

describe('reporting by page', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => new Date(`${today}T12:00:00Z`) }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
  })
  afterAll(() => close())

  const idIn = (location: unknown) => /\/plates\/([0-9a-f-]{36})/.exec(String(location))?.[1] ?? ''

  /** The form of an ordinary plate of today. */
  const usual = (printerId: string, ...prints: Record<string, string>[]) =>
    plateForm({ printerId, printedOn: today, crowding: 'about full' }, ...prints)
  /** The one print of the plate that a form was kept as. */
  const printIn = async ({ headers }: LightMyRequestResponse) =>
    (await ada.get(`/plates/${idIn(headers.location)}`)).json().prints[0]

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
    // Each is drawn, and is one large thing to press; on the first page as well.
    const large = (html: string) => html.match(/<a class="choice" href="\/reports\/new\?fileId=/g)?.length
    expect([large(page), page.match(/<span class="choice-drawing"><svg/g)?.length]).toEqual([3, 3])
    expect(large((await ada.page('/')).body)).toBe(2)
    expect(page).not.toContain('Peat Golem')
    expect((await ada.page('/reports/new?q=peat%20golm')).body).toContain('Peat Golem')
    expect((await ada.page('/reports/new?q=steam%20tractor')).body).toContain('No file is called anything like')
    expect((await ada.page(`/reports/new?fileId=${nowhere}`)).statusCode).toBe(404)
    expect((await ada.page('/reports/new?fileId=seven')).statusCode).toBe(200)
  })

  test('a report in three taps, refused with what was typed, then kept once with its verdict', async () => {
    const { id: printerId } = await aPrinter(ada)
    const { fileId, supportSetId } = await aPrintable(odile)
    expect((await ada.page(`/reports/new?fileId=${fileId}`)).body).toContain('stuck to the film')
    const plate = { printerId, printedOn: today, crowding: 'half empty', remark: '<script>x</script>' }
    const print = { fileId, supports: supportSetId, tried: '6', good: '3', 'failures.soft detail': '' }
    const typed = (snapped: string) => plateForm(plate, { ...print, 'failures.supports snapped': snapped })
    const refused = await ada.submit('/reports/new', { ...typed('4'), once: 'r1' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('3 good and 4 failed are more than the 6 on the plate.')
    expect(refused.body).toContain('&lt;script>')
    const sent = { ...typed('2'), once: 'r2' }
    const kept = await ada.submit('/reports/new', sent)
    expect(kept.statusCode).toBe(303)
    expect((await ada.submit('/reports/new', sent)).headers.location).toBe(kept.headers.location)
    const id = idIn(kept.headers.location)
    const failures = [
      { seen: 'supports snapped', copies: 2 },
      { seen: "don't know", copies: 1 },
    ]
    const told = (await ada.get(`/plates/${id}`)).json()
    expect(told).toMatchObject({ crowding: 'half empty', prints: [{ tried: 6, good: 3, failures }] })
    const page = (await ada.page(String(kept.headers.location))).body
    expect(page).toContain('Your report is kept.')
    expect(page).toContain('class="verdict"')
    expect(page).not.toContain('<script>x')
    expect(page).toContain('safety data sheet')
  })

  test('what waited on a phone for one member is not kept for another, who is signed in there by now', async () => {
    const { id: printerId } = await aPrinter(ada)
    const { fileId, supportSetId } = await aPrintable(odile)
    const sent = usual(printerId, { fileId, supports: supportSetId, tried: '6', good: '6' })
    const refused = await ada.submit('/reports/new', sent, { 'sent-by': odile.id })
    expect(refused.statusCode).toBe(403)
    expect(refused.body).toContain('Another member is now signed in on this browser')
    expect((await ada.submit('/reports/new', sent, { 'sent-by': ada.id })).statusCode).toBe(303)
    // Nobody at all is asked to sign in, as ever.
    expect((await outsider(app).submit('/reports/new', sent, { 'sent-by': ada.id })).statusCode).toBe(401)
  })

  test('a failed plate that is told of days later is of the day on which it failed', async () => {
    const { id: printerId } = await aPrinter(ada)
    const noted = await ada.submit('/plates/wet', { printerId, printedOn: '2025-09-17', once: 'wet-late' })
    expect((await ada.get(`/plates/${idIn(noted.headers.location)}`)).json().printedOn).toBe('2025-09-17')
    const ahead = await ada.submit('/plates/wet', { printerId, printedOn: '2026-09-17', once: 'wet-ahead' })
    expect(ahead.statusCode).toBe(422)
    expect(ahead.body).toContain('This day is in the future.')
  })

  test('a file without revision gets one as first seen, with the supports that were chosen', async () => {
    const { id: printerId } = await aPrinter(ada)
    const bare = await aFile(odile)
    const send = (print: Record<string, string>) =>
      ada.submit('/reports/new', usual(printerId, { fileId: bare.id, tried: '2', good: '2', ...print }))
    expect((await send({})).statusCode).toBe(422)
    const first = await printIn(await send({ supports: 'own supports' }))
    expect(first.supportSet).toMatchObject({ kind: 'own supports', revision: 'as first seen' })
    expect((await printIn(await send({ supports: 'own supports' }))).supportSet.id).toBe(first.supportSet.id)
    await send({ supports: 'as supplied' })
    const { revisions } = (await ada.get(`/files/${bare.id}`)).json()
    expect(revisions).toHaveLength(1)
    expect(revisions[0].supportSets).toHaveLength(2)
  })

  test('as many copies as last time are filled in, and said to be; where none is typed it says what to enter', async () => {
    const { id: printerId } = await aPrinter(ada)
    const { fileId, supportSetId } = await aPrintable(odile)
    const at = async (query: string) => (await ada.page(`/reports/new?fileId=${fileId}${query}`)).body
    expect(await at('')).not.toContain('as last time')
    await aReport(ada, { supportSetId, printerId, tried: 7 })
    expect(await at('')).toContain('Starts at 7, as last time.')
    expect(await at('&copies=4')).not.toContain('as last time')
    const print = { fileId, supports: supportSetId, tried: '', good: '' }
    const { body } = await ada.submit('/reports/new', usual(printerId, print))
    expect(body).toContain('Enter a whole number, 1 or more.')
    expect(body).toContain('Enter a whole number, 0 for none.')
  })

  test("supports of another file's are refused", async () => {
    const { id: printerId } = await aPrinter(ada)
    const [one, other] = [await aPrintable(odile), await aPrintable(odile)]
    const print = { fileId: one.fileId, supports: other.supportSetId, tried: '2', good: '2' }
    const answer = await ada.submit('/reports/new', usual(printerId, print))
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('Those are another file')
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
    expect((await gus.page('/reports/new')).body).not.toContain('before the next plate')
    for (let plate = 0; plate < 3; plate++) {
      const { supportSetId } = await aPrintable(odile)
      await aReport(gus, { supportSetId, printerId, failures: [{ seen: 'one side of the plate only', copies: 3 }] })
    }
    await refitHere(db)
    const { look } = (await gus.get(`/printers/${printerId}`)).json()
    expect(look).toMatchObject({ due: true })
    const page = (await gus.page('/reports/new')).body
    expect(page).toMatch(/Check <a [^>]*>Boathouse<\/a> before the next plate/)
    expect(page).toContain(look.words)
    expect((await ada.page('/reports/new')).body).not.toContain('Boathouse')
  })

  test('two who report the first print of a file at once make one “as first seen” between them', async () => {
    const { id: fileId } = await aFile(ada)
    const printers = await Promise.all([aPrinter(ada), aPrinter(odile)])
    const sent = [ada, odile].map((who, index) =>
      who.submit('/reports/new', {
        ...usual(printers[index]?.id ?? '', { fileId, supports: 'own supports', tried: '4', good: '4' }),
        once: `first-${index}`,
      }),
    )
    expect((await Promise.all(sent)).map(({ statusCode }) => statusCode)).toEqual([303, 303])
    const { revisions } = (await ada.get(`/files/${fileId}`)).json()
    expect(revisions).toMatchObject([{ label: 'as first seen', supportSets: [{ kind: 'own supports' }] }])
    expect((await ada.get(`/reports?fileId=${fileId}`)).json().items).toHaveLength(2)
  })

  test('one changes and removes what is one’s own, by page', async () => {
    const { id: printerId } = await aPrinter(ada)
    const { supportSetId } = await aPrintable(odile)
    const { id, plateId } = await aReport(ada, {
      supportSetId,
      printerId,
      failures: [{ seen: 'soft detail', copies: 1 }],
    })
    const path = `/plates/${plateId}/edit`
    expect((await odile.page(`/reports/${id}`)).body).not.toContain(path)
    expect((await odile.page(path)).statusCode).toBe(403)
    expect((await ada.page(`/reports/${id}`)).body).toContain(path)
    const shown = fieldsOf((await ada.page(path)).body, path)
    expect(shown).toMatchObject({ 'prints.0.id': id, 'prints.0.failures.soft detail': '1' })
    const typed = { ...shown, 'prints.0.good': '6', 'prints.0.failures.soft detail': '' }
    expect((await ada.submit(path, typed)).statusCode).toBe(303)
    expect((await ada.get(`/reports/${id}`)).json()).toMatchObject({ good: 6, failures: [], version: 2 })
    expect((await ada.submit(path, { ...typed, once: 'late' })).statusCode).toBe(422)
    expect((await odile.submit(path, { ...typed, version: '2', once: 'other' })).statusCode).toBe(403)
    const removed = await ada.submit(`/plates/${plateId}/remove`, { version: '2' })
    expect(removed.headers.location).toBe(`/printers/${printerId}?said=report-removed`)
    expect((await ada.page(`/reports/${id}`)).statusCode).toBe(404)
    expect((await ada.page(`/plates/${plateId}`)).statusCode).toBe(404)
  })

  test("a sculptor who asked not to be named is named in no report's page", async () => {
    const { id: printerId } = await aPrinter(ada)
    const sculptor = { name: 'Wilgard Sedgeley', credit: 'unnamed' }
    const { fileId, supportSetId } = await aPrintable(odile, { sculptor, title: "Wilgard Sedgeley's Eel" })
    const { id, plateId } = await aReport(ada, {
      supportSetId,
      printerId,
      remark: 'by Wilgard Sedgeley, see https://shop.example',
    })
    const ben = await member(odile, 'Ben')
    for (const url of [`/reports/${id}`, `/plates/${plateId}`, `/files/${fileId}`])
      expect((await ben.page(url)).body).not.toMatch(/Sedgeley|shop\.example/)
    for (const url of [`/reports/new?fileId=${fileId}`, '/reports/new?q=eel'])
      expect((await ada.page(url)).body).not.toContain('Sedgeley')
    // Of what she wrote herself nothing is left out.
    expect((await ada.page(`/plates/${plateId}/edit`)).body).not.toContain("Sedgeley's Eel")
    expect((await ben.get(`/reports?fileId=${fileId}`)).body).not.toMatch(/Sedgeley|shop\.example/)
    expect((await odile.get(`/reports?fileId=${fileId}`)).body).toContain('Sedgeley')
    expect((await ada.page('/reports/new?q=sedgeley')).body).not.toContain(fileId)
  })
})
