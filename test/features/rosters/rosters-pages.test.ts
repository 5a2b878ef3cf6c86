import { sql } from 'kysely'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { outsider } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'
import { aPrinter, aReport } from '../../support/printing.ts'
import { aRoster, aStandIn, euros, type Group, planEnded, planned, startGroup } from '../../support/rosters.ts'

describe('the pages of rosters', () => {
  let { app, db, close, ada, ben } = {} as Group
  beforeAll(async () => {
    ;({ app, db, close, ada, ben } = await startGroup())
    await aUnit(ada, { name: 'Tide Clerks', setting: 'Ebb' })
    await aUnit(ada, { name: 'Tide Clerks', setting: 'Kiln' })
  })
  afterAll(() => close())

  const idIn = (location: unknown) => /\/rosters\/([0-9a-f-]{36})/.exec(String(location))?.[1] ?? ''

  test('from a pasted list to what is meant, asked for and removed', async () => {
    expect((await ada.page('/rosters')).body).toContain('No army here yet')
    const made = await ada.submit('/rosters/new', {
      name: 'Autumn',
      shared: 'false',
      text: '3 x Tide Clerks\r\n2 x Peat Colossus',
    })
    expect(made.statusCode).toBe(303)
    const id = idIn(made.headers.location)
    const page = (await ada.page(`/rosters/${id}`)).body
    expect(page).toContain('Which units are these?')
    expect(page).not.toMatch(/name="units\.[^>]*checked/)
    expect(page).toContain('No stand-in is known for any entry yet.')
    expect((await ada.page('/rosters')).body).toContain(`/rosters/${id}`)
    expect((await ben.page('/rosters')).body).not.toContain(`/rosters/${id}`)
    expect((await ben.page(`/rosters/${id}`)).statusCode).toBe(404)

    const [clerks, peat] = (await ada.get(`/rosters/${id}`)).json().entries
    const told = await ada.submit(`/rosters/${id}/units`, { [`units.${clerks.id}`]: clerks.nearest[1].id })
    expect(told.headers.location).toBe(`/rosters/${id}?said=units-told#list`)
    const asked = await ada.submit(`/rosters/${id}/ask`, { entryIds: peat.id, scaleMm: '28', setting: 'Ebb' })
    expect(asked.headers.location).toBe(`/rosters/${id}?said=group-asked#list`)
    expect((await ada.get('/requests')).json().items[0]).toMatchObject({ unit: { name: 'Peat Colossus' }, wanted: 2 })
    expect((await ada.submit(`/rosters/${id}/ask`, { scaleMm: '28' })).body).toContain('Please fill this in')

    expect((await ada.submit(`/rosters/${id}/remove`, {})).headers.location).toBe('/rosters?said=roster-removed')
    expect((await ada.page('/rosters?said=roster-removed')).body).toContain('The roster is removed.')
  })

  test('a refused paste keeps what was typed, and says which line', async () => {
    const refused = await ada.submit('/rosters/new', { name: 'Autumn', shared: 'true', text: '0 x Tide Clerks' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Line 1: This says 0 models')
    expect(refused.body).toContain('0 x Tide Clerks</textarea>')
    const { id } = await aRoster(ada)
    const again = await ada.submit(`/rosters/${id}/paste`, { text: '3 x Tide Clerks\n10000 x Peat' })
    expect(again.statusCode).toBe(422)
    expect(again.body).toContain('Line 2: At most 1000 models')
    expect(again.body).toContain('10000 x Peat</textarea>')
    const long = await ada.submit(`/rosters/${id}/paste`, { text: '6 x Fen Wardens of the dyke\n'.repeat(20_000) })
    expect(long.statusCode).toBe(422)
    expect(long.body).toContain('at most 500 entries')
    const fine = await ada.submit(`/rosters/${id}/paste`, { text: 'Peat Giant, 2' })
    expect(fine.headers.location).toBe(`/rosters/${id}?said=entries-added#list`)
  })

  test('the boxes of which some have no known price are summed as far as they are known, before there is a plan', async () => {
    const text = 'unit,models,retail price,currency\nReed Levy,4,30.00,EUR\nPeat Colossus,1,,'
    const page = (await ada.page(`/rosters/${(await aRoster(ada, { text })).id}`)).body
    expect(page).toContain('the boxes, as far as their price is known')
    expect(page).toContain('<small> as far as known')
    expect(page).not.toContain('still to spend')
    expect((await ada.page('/rosters')).body).toMatch(/the boxes .{1,80}, as far as their price is known/)
    const all = await aRoster(ada, { text: text.replace(',1,,', ',1,20.00,EUR').replace('Reed', 'Fen') })
    expect((await ada.page(`/rosters/${all.id}`)).body).not.toContain('as far as')
  })

  test('a line with two numbers is asked about, and kept as it was meant', async () => {
    const { id } = await aRoster(ada)
    const text = '2x Eel Spears (10 models)'
    const asked = await ada.submit(`/rosters/${id}/paste`, { text })
    expect(asked.statusCode).toBe(422)
    expect(asked.body).toContain('Line 1 has two numbers: 10 Eel Spears in all, or 20?')
    expect(asked.body).toContain(`${text}</textarea>`)
    expect(asked.body).toContain('name="bracketed"')
    await ada.submit(`/rosters/${id}/paste`, { text, bracketed: 'each' })
    await ada.submit(`/rosters/${id}/paste`, { text, bracketed: 'all' })
    const { entries } = (await ada.get(`/rosters/${id}`)).json()
    expect(entries.map(({ words, models }: { words: string; models: number }) => [words, models])).toEqual([
      ['Eel Spears', 20],
      ['Eel Spears', 10],
    ])
    const refused = await ada.post('/rosters', { name: 'Two', text })
    expect(refused.statusCode).toBe(422)
    expect(refused.json().errors[0]).toMatchObject({ path: '/bracketed' })
    expect((await ada.page('/rosters/new')).body).not.toContain('bracketed')
  })

  test('an entry by hand: added, changed to another unit by its name, taken off', async () => {
    const [one, two] = [await aUnit(ada), await aUnit(ada, { name: 'Glaze Pikes' })]
    const { id } = await aRoster(ada)
    const fields = {
      words: one.name,
      models: '4',
      'retailPrice.amount': '12,50',
      'retailPrice.currency': 'EUR',
      retailPer: 'entry',
    }
    expect((await ada.submit(`/rosters/${id}/entries/new`, fields)).statusCode).toBe(303)
    const [entry] = (await ada.get(`/rosters/${id}`)).json().entries
    expect(entry).toMatchObject({ unit: { id: one.id }, models: 4, retail: euros('12.50') })
    const edit = `/rosters/${id}/entries/${entry.id}/edit`
    expect((await ada.page(edit)).body).toContain('value="12.50"')
    const renamed = await ada.submit(edit, {
      ...fields,
      unitId: one.id,
      words: 'glaze pikes',
      'retailPrice.amount': '',
    })
    expect(renamed.statusCode).toBe(303)
    const [after] = (await ada.get(`/rosters/${id}`)).json().entries
    expect(after).toMatchObject({ unit: { id: two.id }, retailPrice: null })
    const refused = await ada.submit(edit, { ...fields, models: '0' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('At least 1.')
    await ada.submit(`/rosters/${id}/entries/${entry.id}/remove`, {})
    expect((await ada.submit(`/rosters/${id}/entries/${entry.id}/remove`, {})).statusCode).toBe(303)
    expect((await ada.get(`/rosters/${id}`)).json().entries).toEqual([])
  })

  /** A planned roster: one covered entry with a purchase, one without a stand-in. */
  async function aPlannedRoster() {
    const { unit, file, offer } = await aStandIn(ada, { offer: { url: 'https://stall.example/men' } })
    const roster = await aRoster(ada, { text: `5 x ${unit.name}\n1 x Peat Colossus` })
    return { unit, file, offer, id: roster.id, entries: roster.entries }
  }

  test('a plan: shopping and printing list, saving, what is uncovered, what-ifs', async () => {
    await aPrinter(ada)
    const { id, file, offer, unit } = await aPlannedRoster()
    expect((await ada.page(`/rosters/${id}`)).body).toContain('Plan this roster')
    const sent = await ada.submit(`/rosters/${id}/plan`, {
      'budget.amount': '',
      'budget.currency': 'EUR',
      allowMemberships: 'true',
    })
    expect(sent.headers.location).toBe(`/rosters/${id}?said=being-planned#plan`)
    await planEnded(ada, id)
    const { body } = await ada.page(`/rosters/${id}`)
    expect(body).toContain('Proven: no other choice')
    expect(body).toContain('href="https://stall.example/men"')
    expect(body).toContain(file.title)
    expect(body).toContain('One entry is not covered')
    expect(body).toContain('Shopping list')
    expect(body).toContain('Printing list')
    expect(body).toContain('safety data sheet')
    expect(body).not.toContain('data-poll')
    const other = await aFile(ada, { standsInFor: [unit.id], offer: { kind: 'purchase', price: euros('20.00') } })
    await planned(ada, id)
    const what = (await ada.page(`/rosters/${id}?whatIf=offer%20${offer.id}`)).body
    expect(what).toContain('stays worth buying up to')
    expect(what).toContain(`: ${other.title}`)
    expect((await ada.page(`/rosters/${id}?whatIf=nonsense`)).statusCode).toBe(200)
  })

  test('a plan leads to asking for what it lacks only while there is something to ask for', async () => {
    const roster = await aRoster(ada, { text: `5 x ${(await aStandIn(ada)).unit.name}\n1 x Nobody has met this one` })
    const at = `/rosters/${roster.id}`
    await planned(ada, roster.id)
    const before = (await ada.page(at)).body
    expect(before).toContain('id="ask"')
    expect(before).toContain('#ask">Ask the group for what is missing</a>.')
    await ada.post(`${at}/requests`, { entryIds: [roster.entries[1]?.id] })
    await planned(ada, roster.id)
    const { body } = await ada.page(at)
    expect(body).not.toContain('#ask"')
  })

  test('looser limits are offered for what a limit leaves out, not for what nobody has found', async () => {
    const { unit, file } = await aStandIn(ada)
    const { id } = await aRoster(ada, { text: `5 x ${unit.name}\n1 x Nobody has met this one` })
    await planned(ada, id)
    expect((await ada.page(`/rosters/${id}`)).body).not.toContain('loosen the limits')
    await planned(ada, id, { exclude: { fileIds: [file.id], sculptorIds: [] } })
    expect((await ada.page(`/rosters/${id}`)).body).toContain('To cover more, loosen the limits of the plan.')
  })

  test('a refused plan says why at the field and keeps what was chosen', async () => {
    const { id, entries, file } = await aPlannedRoster()
    const refused = await ada.submit(`/rosters/${id}/plan`, { timeLimitS: '600', minPercent: '30' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('At most 60.')
    expect(refused.body).toContain('value="600"')
    const pins = { [`pins.${entries[0]?.id}`]: file.id, 'exclude.fileIds': file.id }
    const contradiction = await ada.submit(`/rosters/${id}/plan`, pins)
    expect(contradiction.statusCode).toBe(422)
    expect(contradiction.body).toContain('but that file is excluded')
  })

  test('while it is being solved the page says so, and can be looked at again and stopped', async () => {
    const { id } = await aPlannedRoster()
    await planned(ada, id)
    const running = db.updateTable('rosterPlan').where('rosterId', '=', id)
    await running.set({ state: 'running', heartbeatAt: sql<Date>`now()` }).execute()
    const { body } = await ada.page(`/rosters/${id}`)
    expect(body).toContain('Look again')
    expect(body).toContain('data-poll="1500"')
    expect((await ada.submit(`/rosters/${id}/plan/stop`, {})).headers.location).toBe(
      `/rosters/${id}?said=plan-stopping#plan`,
    )
    const second = await ada.submit(`/rosters/${id}/plan`, {})
    expect(second.statusCode).toBe(422)
    expect(second.body).toContain('being planned just now')
    await running.set({ heartbeatAt: sql<Date>`now() - interval '1 minute'` }).execute()
    expect((await ada.page(`/rosters/${id}`)).body).toContain('The planning was interrupted')
    await ada.post(`/rosters/${id}/entries`, { text: '2 x Tide Clerks' })
    expect((await ada.page(`/rosters/${id}`)).body).toContain('out of date')
  })

  test('others see the list alone, and copy it', async () => {
    const { id } = await aPlannedRoster()
    await planned(ada, id)
    await ada.patch(`/rosters/${id}`, { shared: true })
    const { body } = await ben.page(`/rosters/${id}`)
    expect(body).not.toContain('Shopping list')
    expect(body).not.toContain('What it really cost')
    const copied = await ben.submit(`/rosters/${id}/copy`, {})
    expect(copied.headers.location).toMatch(/said=roster-copied$/)
    expect((await ben.page(String(copied.headers.location))).body).toContain('Plan this roster')
    const signIn = await outsider(app).page(`/rosters/${id}`)
    expect(signIn.headers.location).toContain('/sign-in?next=')
  })

  test('by keyboard the plan’s button is at most 12 stops away, straight from the top of the page', async () => {
    const { id } = await aPlannedRoster()
    await planned(ada, id)
    const { body } = await ada.page(`/rosters/${id}`)
    const main = body.indexOf('<main')
    // What stands behind one's name is shut, so nothing in it is a stop.
    const head = body.slice(0, main).replace(/<div id="own-places".*$/s, '')
    const toButton = head + body.slice(main, body.indexOf('form="plan-form"'))
    const stops = toButton.match(/<(a [^>]*href|button|summary|select|textarea|input(?! type="hidden"))/g) ?? []
    expect(toButton).not.toContain('<details')
    expect(stops.length).toBeGreaterThan(5)
    expect(stops.length).toBeLessThanOrEqual(12)
    expect(body).toContain('<form id="plan-form"')
  })

  test('what was bought and printed is ticked off, and struck out', async () => {
    const { id, offer, file, entries } = await aPlannedRoster()
    await planned(ada, id)
    const shopping = /<div id="shopping">.*?<\/table>/s.exec((await ada.page(`/rosters/${id}`)).body)?.[0]
    expect(shopping).toContain(`I bought it: ${file.title}`)
    const fields = { offerId: offer.id, 'paid.amount': '7,00', 'paid.currency': 'EUR', boughtOn: '' }
    expect((await ada.submit(`/rosters/${id}/purchases`, { ...fields, 'paid.amount': 'much' })).body).toContain(
      'value="much"',
    )
    expect((await ada.submit(`/rosters/${id}/purchases`, fields)).headers.location).toBe(
      `/rosters/${id}?said=bought#shopping`,
    )
    const printerId = (await aPrinter(ada)).id
    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    const report = await aReport(ada, {
      supportSetId,
      printerId,
      tried: 6,
      failures: [{ seen: 'soft detail', copies: 2 }],
    })
    const tie = { entryId: entries[0]?.id ?? '', reportId: report.id }
    expect((await ada.submit(`/rosters/${id}/prints`, tie)).headers.location).toBe(
      `/rosters/${id}?said=report-counted#spend`,
    )
    const { body } = await ada.page(`/rosters/${id}`)
    expect(body).toContain(`4 of 6 good: ${file.title}`)
    expect(body).toContain('€7.00')
    expect((await ada.submit(`/rosters/${id}/prints/remove`, tie)).statusCode).toBe(303)
    const { purchases } = (await ada.get(`/rosters/${id}/spend`)).json()
    expect((await ada.submit(`/rosters/${id}/purchases/${purchases[0].id}/remove`, {})).statusCode).toBe(303)
    expect((await ada.get(`/rosters/${id}/spend`)).json().actual).toEqual(euros('0.00'))
  })
})
