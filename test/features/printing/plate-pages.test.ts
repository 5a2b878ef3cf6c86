import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { aFile } from '../../support/catalogue.ts'
import { fieldsOf, postsOf } from '../../support/forms.ts'
import { aPlate, aPrintable, aPrinter, plateForm } from '../../support/printing.ts'

const today = '2025-09-20'

let close: () => Promise<void>
let odile: Person
let ada: Person
let printer: { id: string; name: string }
let heron: Awaited<ReturnType<typeof aPrintable>>
let eel: Awaited<ReturnType<typeof aPrintable>>
beforeAll(async () => {
  const started = await startApp({ now: () => new Date(`${today}T12:00:00Z`) })
  close = started.close
  odile = await owner(started.app)
  ada = await member(odile, 'Ada')
  printer = await aPrinter(ada, { name: 'Boathouse' })
  heron = await aPrintable(odile, { title: 'Heron Riders' })
  eel = await aPrintable(odile, { title: 'Eel Levy' })
})
afterAll(() => close())

const plate = () => ({ printerId: printer.id, printedOn: today, crowding: 'packed', remark: '' })
const print = (of: typeof heron, counts: Record<string, string> = {}) => ({
  fileId: of.fileId,
  supports: of.supportSetId,
  tried: '4',
  good: '4',
  ...counts,
})
const plateOf = async ({ headers }: { headers: Record<string, unknown> }) => {
  const id = /^\/plates\/([0-9a-f-]{36})\?/.exec(String(headers.location))?.[1]
  return (await ada.get(`/plates/${id}`)).json()
}

describe('and on the same plate', () => {
  const more = (fields: Record<string, string>, pressed: Record<string, string>) =>
    ada.submit('/reports/new/more', { ...fields, ...pressed })

  test('a further print is added by a button, with all that was typed so far', async () => {
    const typed = { ...plateForm(plate(), print(heron, { good: '3 or so' })), remark: 'half typed' }
    const looked = await more(typed, { q: 'eel levy' })
    expect(looked.statusCode).toBe(200)
    expect(looked.body).toContain(`name="add" value="${eel.fileId}"`)
    const added = await more(typed, { add: eel.fileId, q: 'eel levy' })
    const fields = fieldsOf(added.body, '/reports/new')
    expect(fields).toMatchObject({
      'prints.0.fileId': heron.fileId,
      'prints.0.tried': '4',
      'prints.0.good': '3 or so',
      remark: 'half typed',
      'prints.1.fileId': eel.fileId,
      'prints.1.supports': eel.supportSetId,
      'prints.1.good': '',
      q: '',
    })
    const one = fieldsOf((await more(fields as Record<string, string>, { drop: '0' })).body, '/reports/new')
    expect(one).toMatchObject({ 'prints.0.fileId': eel.fileId, remark: 'half typed' })
    expect(one).not.toHaveProperty('prints.1.fileId')
    expect((await more(typed, { q: 'steam tractor' })).body).toContain('No file is called anything like')
    expect((await more(typed, { add: printer.id })).statusCode).toBe(404)
  })

  test('all prints are kept when one is refused, then kept as one plate', async () => {
    const typed = plateForm(plate(), print(heron), print(eel, { good: '1', mended: '9' }))
    const refused = await ada.submit('/reports/new', { ...typed, once: 'a' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Only 3 failed, so 9 cannot have been mended.')
    const fields = fieldsOf(refused.body, '/reports/new')
    expect(fields).toMatchObject({ 'prints.0.good': '4', 'prints.1.mended': '9' })
    const mended = { 'prints.1.mended': '2', 'prints.1.mendedMinutes': '25', 'prints.1.failures.soft detail': '1' }
    const kept = await ada.submit('/reports/new', { ...fields, ...mended, once: 'b' })
    expect(kept.statusCode).toBe(303)
    const told = await plateOf(kept)
    expect(told.prints).toMatchObject([
      { file: { title: 'Heron Riders' }, good: 4, failures: [] },
      { file: { title: 'Eel Levy' }, good: 1, mended: 2, mendedMinutes: 25 },
    ])
    const page = (await ada.page(`/reports/${told.prints[1].id}`)).body
    expect(page).toContain('5 of 8 good: Heron Riders and 1 more')
    expect(page).toContain('Print by print')
    expect(page).toContain('2, in 25 minutes')
    expect((await ada.page(`/files/${eel.fileId}`)).body).toContain('1 of 4 good, 2 mended')
  })

  test('the same supports twice, and what was looked up but not added, are told at their field', async () => {
    const twice = await ada.submit('/reports/new', plateForm(plate(), print(heron), print(heron)))
    expect(twice.statusCode).toBe(422)
    expect(twice.body).toContain('href="#form-prints-1-supports"')
    const forgotten = await ada.submit('/reports/new', { ...plateForm(plate(), print(heron)), q: 'eel' })
    expect(forgotten.statusCode).toBe(422)
    expect(forgotten.body).toContain('Look this up and add it, or empty the field.')
    const nothing = await ada.submit('/reports/new', plateForm(plate()))
    expect(nothing.statusCode).toBe(422)
    expect(nothing.body).toContain('What was on the plate?')
  })

  test('one’s own plate is changed as a whole, by oneself alone', async () => {
    const made = await aPlate(ada, [{ supportSetId: heron.supportSetId }, { supportSetId: eel.supportSetId }], {
      printerId: printer.id,
    })
    const path = `/plates/${made.id}/edit`
    const shown = fieldsOf((await ada.page(path)).body, path)
    const other = await aFile(odile, {
      title: 'Peat Golem',
      revision: { label: 'first', supportKinds: ['own supports'] },
    })
    const added = await ada.submit(`${path}/more`, { ...shown, add: other.id })
    const fields: Record<string, string | string[]> = fieldsOf(added.body, path)
    expect(fields).toMatchObject({ 'prints.1.id': made.prints[1]?.id, 'prints.2.fileId': other.id, version: '1' })
    const dropped = fieldsOf((await ada.submit(`${path}/more`, { ...fields, drop: '0' })).body, path)
    const changed = await ada.submit(path, { ...dropped, 'prints.1.tried': '2', 'prints.1.good': '2' })
    expect(changed.statusCode).toBe(303)
    const { prints } = (await ada.get(`/plates/${made.id}`)).json()
    expect(prints).toMatchObject([{ id: made.prints[1]?.id }, { file: { title: 'Peat Golem' }, good: 2 }])
    for (const url of [path, `${path}/more`]) expect((await odile.submit(url, dropped)).statusCode).toBe(403)
  })
})

describe('failed, and still wet', () => {
  test('is noted in two taps, reminded of, and told in full later', async () => {
    const start = await ada.page('/reports/new')
    // The usual printer is chosen already: one tap for another one, one to send.
    const fields = fieldsOf(start.body, '/plates/wet')
    expect(fields).toMatchObject({ printerId: printer.id })
    const noted = await ada.submit('/plates/wet', fields)
    expect(noted.statusCode).toBe(303)
    const wet = await plateOf(noted)
    expect(wet).toMatchObject({ told: false, prints: [], printedOn: today, printer: { id: printer.id } })
    const edit = `/plates/${wet.id}/edit`
    for (const url of ['/', '/reports/new', `/printers/${printer.id}`, `/plates/${wet.id}`])
      expect([url, (await ada.page(url)).body.includes(`href="${edit}"`)]).toEqual([url, true])
    for (const url of ['/', '/reports/new', `/printers/${printer.id}`, `/plates/${wet.id}`])
      expect([url, (await odile.page(url)).body.includes(edit)]).toEqual([url, false])
    // On the page of requests before anything else: nobody scrolls to what was put off.
    const home = (await ada.page('/')).body
    expect(home.indexOf(edit)).toBeLessThan(home.indexOf('Open requests'))

    const empty = (await ada.page(edit)).body
    expect(empty).toContain('Report in full')
    const added = await ada.submit(`${edit}/more`, { ...fieldsOf(empty, edit), add: eel.fileId })
    const typed = fieldsOf(added.body, edit)
    expect(typed).toMatchObject({ 'prints.0.fileId': eel.fileId, 'prints.0.good': '0' })
    const told = await ada.submit(edit, { ...typed, 'prints.0.tried': '5', 'prints.0.failures.stuck to the film': '5' })
    expect(told.headers.location).toBe(`/plates/${wet.id}?said=reported`)
    expect((await ada.page(`/plates/${wet.id}`)).body).toContain('0 of 5 good: Eel Levy')
    expect((await ada.page('/')).body).not.toContain(edit)
  })

  test('a form without a printer comes back with what is wrong; who has no printer is asked nothing', async () => {
    const refused = await ada.submit('/plates/wet', { printerId: '' })
    expect(refused.statusCode).toBe(422)
    expect(postsOf(refused.body)).toContain('/plates/wet')
    expect((await ada.submit('/plates/wet', { printerId: heron.fileId })).statusCode).toBe(422)
    const ben = await member(odile, 'Ben')
    expect(postsOf((await ben.page('/reports/new')).body)).not.toContain('/plates/wet')
    expect((await ben.submit('/plates/wet', { printerId: printer.id })).statusCode).toBe(403)
  })
})
