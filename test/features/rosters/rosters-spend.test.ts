import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { costOfPrints } from '../../../server/features/rosters/spend/rules.ts'
import { outsider } from '../../support/app.ts'
import { anOffer, made } from '../../support/catalogue.ts'
import { aPlate, aPrinter, aReport } from '../../support/printing.ts'
import { aRoster, aStandIn, euros, type Group, planned, startGroup } from '../../support/rosters.ts'

describe('what it really cost', () => {
  let { app, close, odile, ada, ben } = {} as Group
  let printerId: string
  beforeAll(async () => {
    ;({ app, close, odile, ada, ben } = await startGroup({ now: () => new Date('2026-03-10T12:00:00Z') }))
    printerId = (await aPrinter(ada)).id
    const settings = { resinPricePerKg: euros('30.00'), resinGramsPerMl: 1.1, cleanUp: euros('0.40') }
    await odile.patch('/settings', settings, { headers: { 'if-match': '*' } })
  })
  afterAll(() => close())

  /** A unit with a file of 10 ml a copy for 9.00, in a roster of six, planned. */
  async function oneUnit() {
    const { unit, file, offer } = await aStandIn(ada, {
      unit: { retailPrice: euros('25.00'), modelsPerUnit: 6 },
      file: { resinMl: 10 },
    })
    const roster = await aRoster(ada, { text: `6 x ${unit.name}` })
    await planned(ada, roster.id)
    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    return { unit, file, offer, roster, entryId: roster.entries[0]?.id ?? '', supportSetId }
  }
  const spend = async (id: string) => (await ada.get(`/rosters/${id}/spend`)).json()

  test('adds up what was paid, the resin of every copy, and the clean-up of the failed ones', async () => {
    const { roster, offer, file, entryId, supportSetId } = await oneUnit()
    const before = await spend(roster.id)
    expect(before).toMatchObject({ box: euros('25.00'), actual: euros('0.00'), purchases: [], countedElsewhere: [] })
    expect(before.entries).toEqual([{ entryId, wanted: 6, good: 0, mended: 0, failed: 0, missing: 6, reports: [] }])

    const purchase = { offerId: offer.id, paid: euros('7.50'), boughtOn: '2026-03-09' }
    const bought = await ada.post(`/rosters/${roster.id}/purchases`, purchase)
    expect(bought.statusCode).toBe(201)
    expect(bought.json()).toMatchObject({ paid: euros('7.50'), worth: euros('7.50'), roster: { id: roster.id } })
    expect((await ada.get(`/files/${file.id}`)).json().inArchive).toBe(true)

    const failures = [{ seen: 'supports snapped', copies: 3 }]
    const report = await aReport(ada, { supportSetId, printerId, tried: 7, failures })
    const tied = `/rosters/${roster.id}/entries/${entryId}/reports/${report.id}`
    expect((await ada.put(tied)).statusCode).toBe(204)
    expect((await ada.put(tied)).statusCode).toBe(204)
    const after = await spend(roster.id)
    // 7 x 10 ml x 1.1 g/ml at 30.00 a kg are 2.31; a plate 1.00; three lost at 0.40, and their plate 1.00.
    expect(after).toMatchObject({
      offers: euros('7.50'),
      resin: euros('2.31'),
      plates: euros('1.00'),
      cleanUp: euros('2.20'),
      actual: euros('13.01'),
    })
    expect(after.entries).toMatchObject([{ good: 4, failed: 3, missing: 2, reports: [{ id: report.id, tried: 7 }] }])
    // As it was planned, all of it, whatever it has come to since.
    expect(after.plan).toEqual(before.plan)
    const plan = (await ada.get(`/rosters/${roster.id}/plan`)).json()
    // Bought, so nothing is to be paid any more; four of six models stand there.
    expect(plan.totals).toMatchObject({ offers: euros('0.00'), spent: euros('13.01') })
    expect(plan.entries).toMatchObject([{ entryId, models: 2 }])
    expect(plan.offers).toMatchObject([{ offerId: offer.id, bought: true }])

    expect((await ada.delete(tied)).statusCode).toBe(204)
    expect((await ada.delete(tied)).statusCode).toBe(404)
    expect((await ada.delete(`/rosters/${roster.id}/purchases/${bought.json().id}`)).statusCode).toBe(204)
    expect((await spend(roster.id)).actual).toEqual(euros('0.00'))
  })

  test('a mended copy is a model of the roster, and its minutes are paid as the group pays an hour', async () => {
    const settings = { timePerHour: euros('6.00') }
    await odile.patch('/settings', settings, { headers: { 'if-match': '*' } })
    const { roster, entryId, supportSetId } = await oneUnit()
    const failures = [{ seen: 'layers pulled apart', copies: 3 }]
    const report = await aReport(ada, { supportSetId, printerId, tried: 6, failures, mended: 2, mendedMinutes: 20 })
    await ada.put(`/rosters/${roster.id}/entries/${entryId}/reports/${report.id}`)
    const after = await spend(roster.id)
    expect(after.entries).toMatchObject([{ good: 3, mended: 2, failed: 1, missing: 1, reports: [{ mended: 2 }] }])
    // 6 x 10 ml x 1.1 g/ml at 30.00 a kg are 1.98; a plate 1.00; one lost at 0.40, and its plate 1.00; a third of an hour.
    expect(after).toMatchObject({ resin: euros('1.98'), cleanUp: euros('1.40'), mending: euros('2.00') })
    expect(after.actual).toEqual(euros('6.38'))
    const page = (await ada.page(`/rosters/${roster.id}`)).body
    expect(page).toContain('Time spent on repairs')
    expect(page).toContain('3 of 6 good, 2 mended')
    await odile.patch('/settings', { timePerHour: euros('0.00') }, { headers: { 'if-match': '*' } })
  })

  test('a plate that is shared counts by its copies', async () => {
    const { roster, entryId, supportSetId } = await oneUnit()
    const other = await oneUnit()
    const failures = [{ seen: 'supports snapped', copies: 1 }]
    const prints = [
      { supportSetId, tried: 6 },
      { supportSetId: other.supportSetId, tried: 2, failures },
    ]
    const plate = await aPlate(ada, prints, { printerId })
    await ada.put(`/rosters/${roster.id}/entries/${entryId}/reports/${plate.prints[0]?.id}`)
    // Three quarters of a plate at 1.00, and of its clean-up.
    expect(await spend(roster.id)).toMatchObject({ plates: euros('0.75'), cleanUp: euros('0.75') })
    await ada.put(`/rosters/${other.roster.id}/entries/${other.entryId}/reports/${plate.prints[1]?.id}`)
    // The other quarter of both, and 0.40 for the copy that was lost.
    expect(await spend(other.roster.id)).toMatchObject({ plates: euros('0.25'), cleanUp: euros('0.65') })
    const page = (await ada.page(`/rosters/${roster.id}`)).body
    expect(page).toContain('a shared one by its share of the copies')
    expect(page).toContain('of lost copies, and of plates on which anything failed')
  })

  test('two rosters that share a file count its price once, and say where', async () => {
    const { roster, offer, unit } = await oneUnit()
    const other = await aRoster(ada, { name: 'Second wave', text: `3 x ${unit.name}` })
    await ada.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id, paid: euros('9.00') })
    const plan = await planned(ada, other.id)
    expect(plan.totals.offers.amount).toBe('0.00')
    const again = await ada.post(`/rosters/${other.id}/purchases`, { offerId: offer.id, paid: euros('9.00') })
    expect(again.statusCode).toBe(409)
    expect(again.json().detail).toContain('counts there, once')
    expect(await spend(other.id)).toMatchObject({
      offers: euros('0.00'),
      countedElsewhere: [{ offerId: offer.id, paid: euros('9.00'), roster: { id: roster.id, name: 'Autumn muster' } }],
    })
    expect((await spend(roster.id)).offers).toEqual(euros('9.00'))
    // What was bought outlives the roster.
    await ada.delete(`/rosters/${roster.id}`)
    expect((await spend(other.id)).countedElsewhere).toMatchObject([{ offerId: offer.id, roster: null }])
  })

  test('a membership runs once it is bought, and may be paid again', async () => {
    const { roster, file } = await oneUnit()
    const monthly = await anOffer(ada, file.id, { kind: 'membership', price: euros('2.50'), minMonths: 2 })
    // As it is offered, for its months.
    const pay = () => ada.post(`/rosters/${roster.id}/purchases`, { offerId: monthly.id })
    expect((await pay()).statusCode).toBe(201)
    expect((await ada.get('/memberships')).json().items).toMatchObject([{ offer: { id: monthly.id } }])
    expect((await pay()).statusCode).toBe(201)
    expect((await spend(roster.id)).offers).toEqual(euros('10.00'))
  })

  test('a price in another currency counts at the newest rate of its day, or the first ever', async () => {
    await odile.put('/settings/rates/GBP', { worth: 1.1, seenOn: '2026-01-01' })
    await odile.put('/settings/rates/GBP', { worth: 1.3, seenOn: '2026-03-01' })
    const paid = { amount: '10.00', currency: 'GBP' }
    for (const [boughtOn, worth] of [
      ['2025-12-31', '11.00'],
      ['2026-01-01', '11.00'],
      ['2026-02-28', '11.00'],
      ['2026-03-01', '13.00'],
      ['2026-03-10', '13.00'],
    ] as const) {
      const { roster, offer } = await oneUnit()
      const bought = await ada.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id, paid, boughtOn })
      expect(bought.json()).toMatchObject({ paid, worth: euros(worth) })
      expect((await spend(roster.id)).offers).toEqual(euros(worth))
    }
  })

  test('other lines count: paid, or come in and taken off, in any currency with a rate', async () => {
    const { roster } = await oneUnit()
    const note = (body: Record<string, unknown>) => ada.post(`/rosters/${roster.id}/spend-lines`, body)
    const bases = await note({ words: 'Bases', amount: euros('4.50') })
    expect(bases.statusCode).toBe(201)
    expect(bases.json()).toMatchObject({ words: 'Bases', on: '2026-03-10', worth: euros('4.50'), cameIn: false })
    await note({ words: 'Ben’s half', amount: euros('6.00'), on: '2026-03-01', cameIn: true })
    const after = await spend(roster.id)
    expect(after).toMatchObject({ other: euros('-1.50'), actual: euros('-1.50') })
    expect(after.lines).toMatchObject([{ words: 'Ben’s half', worth: euros('-6.00') }, { words: 'Bases' }])
    expect((await note({ words: 'Bases', amount: euros('-4.50') })).json().errors[0].path).toBe('/amount/amount')
    expect((await note({ words: ' ', amount: euros('1.00') })).json().errors[0].path).toBe('/words')
    expect((await note({ words: 'Paint', amount: { amount: '1', currency: 'CHF' } })).statusCode).toBe(422)
    expect((await note({ words: 'Paint', amount: euros('1.00'), on: '2026-03-12' })).json().errors[0].path).toBe('/on')
    const line = `/rosters/${roster.id}/spend-lines/${bases.json().id}`
    expect((await ben.delete(line)).statusCode).toBe(404)
    expect((await ada.delete(line)).statusCode).toBe(204)
    expect((await ada.delete(line)).statusCode).toBe(404)
    expect((await spend(roster.id)).other).toEqual(euros('-6.00'))
  })

  test('what the plan foresaw stands beside what it came to, by buying, printing and other', async () => {
    const { roster, offer, entryId, supportSetId } = await oneUnit()
    const { totals } = (await ada.get(`/rosters/${roster.id}/plan`)).json()
    await ada.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id, paid: euros('8.00') })
    const failures = [{ seen: 'supports snapped', copies: 3 }]
    const report = await aReport(ada, { supportSetId, printerId, tried: 7, failures })
    await ada.put(`/rosters/${roster.id}/entries/${entryId}/reports/${report.id}`)
    await ada.post(`/rosters/${roster.id}/spend-lines`, { words: 'Paint', amount: euros('3.00') })
    // Printing as in the first test: 2.31 of resin, a plate for 1.00, 2.20 of clean-up.
    expect((await spend(roster.id)).beside).toEqual({
      buying: { planned: totals.offers, actual: euros('8.00') },
      printing: { planned: totals.printing, actual: euros('5.51') },
      other: { planned: euros('0.00'), actual: euros('3.00') },
    })
    expect(totals.offers).toEqual(euros('9.00'))
    const { body } = await ada.page(`/rosters/${roster.id}`)
    expect(body).toContain('Planned and actual cost')
  })

  test('a line is noted and struck out on the page; a refused one comes back', async () => {
    const { roster } = await oneUnit()
    const at = `/rosters/${roster.id}/spend-lines`
    const fields = { words: 'Shipping', 'amount.amount': '5,20', 'amount.currency': 'EUR', cameIn: 'false', on: '' }
    const refused = await ada.submit(at, { ...fields, 'amount.amount': '' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('value="Shipping"')
    expect((await ada.submit(at, fields)).headers.location).toBe(`/rosters/${roster.id}?said=line-noted#spend`)
    const [line] = (await spend(roster.id)).lines
    expect(line).toMatchObject({ words: 'Shipping', amount: euros('5.20') })
    expect((await ada.page(`/rosters/${roster.id}`)).body).toContain('Strike out: Shipping')
    await ada.submit(`${at}/${line.id}/remove`, {})
    expect((await spend(roster.id)).lines).toEqual([])
  })

  test('a report counts for one entry, and only one’s own does', async () => {
    const { roster, entryId, supportSetId } = await oneUnit()
    const other = await oneUnit()
    const report = await aReport(ada, { supportSetId, printerId })
    await ada.put(`/rosters/${roster.id}/entries/${entryId}/reports/${report.id}`)
    await ada.put(`/rosters/${other.roster.id}/entries/${other.entryId}/reports/${report.id}`)
    expect((await spend(roster.id)).entries).toMatchObject([{ good: 0, reports: [] }])
    expect((await spend(other.roster.id)).entries).toMatchObject([{ good: 6 }])
    const foreign = await aReport(ben, { supportSetId, printerId: (await aPrinter(ben)).id })
    expect((await ada.put(`/rosters/${roster.id}/entries/${entryId}/reports/${foreign.id}`)).statusCode).toBe(403)
    expect((await ada.put(`/rosters/${roster.id}/entries/${entryId}/reports/${roster.id}`)).statusCode).toBe(404)
    expect((await ada.put(`/rosters/${roster.id}/entries/${other.entryId}/reports/${report.id}`)).statusCode).toBe(404)
    // The report itself may go.
    expect((await ada.delete(`/reports/${report.id}`)).statusCode).toBe(204)
    expect((await spend(other.roster.id)).entries).toMatchObject([{ good: 0 }])
  })

  test.each([
    ['/paid', { paid: null }],
    ['/paid/amount', { paid: euros('-1') }],
    ['/paid/currency', { paid: { amount: '1', currency: 'CHF' } }],
    ['/boughtOn', { paid: euros('1'), boughtOn: '2026-03-12' }],
    ['/boughtOn', { paid: euros('1'), boughtOn: '2026-02-30' }],
    ['/shop', { paid: euros('1'), shop: 'x' }],
  ])('refuses at %s: %j', async (path, body) => {
    const { roster, offer } = await oneUnit()
    const answer = await ada.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id, ...body })
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors[0].path).toBe(path)
  })

  test('is the owner’s business', async () => {
    const { roster, offer, entryId, supportSetId } = await oneUnit()
    await ada.patch(`/rosters/${roster.id}`, { shared: true })
    const { id } = made(await ada.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id, paid: euros('9.00') }))
    const report = await aReport(ada, { supportSetId, printerId })
    const tied = `/rosters/${roster.id}/entries/${entryId}/reports/${report.id}`
    await ada.put(tied)
    for (const [person, status] of [
      [ben, 403],
      [odile, 403],
      [outsider(app), 401],
    ] as const) {
      expect((await person.get(`/rosters/${roster.id}/spend`)).statusCode).toBe(status)
      expect(
        (await person.post(`/rosters/${roster.id}/purchases`, { offerId: offer.id, paid: euros('9.00') })).statusCode,
      ).toBe(status)
      expect((await person.delete(`/rosters/${roster.id}/purchases/${id}`)).statusCode).toBe(status)
      expect((await person.put(tied)).statusCode).toBe(status)
      expect((await person.delete(tied)).statusCode).toBe(status)
    }
    expect(
      (await ada.post(`/rosters/${roster.id}/purchases`, { offerId: roster.id, paid: euros('9.00') })).statusCode,
    ).toBe(422)
  })
})

const resin = { resinGramsPerMl: 1.1, resinPricePerKgMinor: 3000 }
const prices = {
  perPlateMinor: 100,
  cleanUpMinor: 40,
  cleanUpPerPlateMinor: 180,
  timePerHourMinor: 600,
}

test('prints cost their resin, failed or not; what was mended costs its time, not its clean-up', () => {
  const nothing = { resinMinor: 0, platesMinor: 0, cleanUpMinor: 0, mendingMinor: 0 }
  expect(costOfPrints([], prices)).toEqual(nothing)
  const printed = [
    { tried: 10, good: 7, mended: 1, mendedMinutes: 25, resinMlPerCopy: 9.5, resin, onPlate: { tried: 10, good: 7 } },
    { tried: 1, good: 0, mended: 0, mendedMinutes: null, resinMlPerCopy: 120, resin, onPlate: { tried: 1, good: 0 } },
  ]
  // (95 + 120) ml x 1.1 g x 3 cents a gram = 709.5, rounded; two plates; three lost at 40 and two failed plates at 180;
  // 25 minutes at 6.00 an hour.
  expect(costOfPrints(printed, prices)).toEqual({
    resinMinor: 710,
    platesMinor: 200,
    cleanUpMinor: 480,
    mendingMinor: 250,
  })
  // The large one of another bottle: 95 ml x 1.1 x 3 cents are 313.5, 120 ml x 1.2 x 5 cents 720, rounded together.
  const dearer = { resinGramsPerMl: 1.2, resinPricePerKgMinor: 5000 }
  const two = printed.map((print, index) => (index === 1 ? { ...print, resin: dearer } : print))
  expect(costOfPrints(two, prices).resinMinor).toBe(1034)
})

test('of a plate with several prints each bears its share, and of its clean-up whichever failed', () => {
  const print = { mended: 0, mendedMinutes: null, resinMlPerCopy: 0, resin }
  const printed = [
    // 2 of 8 copies of a plate on which another print's failed: a quarter of the plate and of its clean-up.
    { ...print, tried: 2, good: 2, onPlate: { tried: 8, good: 5 } },
    // 3 of 4 copies of a plate on which nothing did: three quarters of the plate.
    { ...print, tried: 3, good: 3, onPlate: { tried: 4, good: 4 } },
    // A third of 6, one of them lost: a third of the plate and of its clean-up, and 40 for the copy.
    { ...print, tried: 2, good: 1, onPlate: { tried: 6, good: 5 } },
  ]
  // (1/4 + 3/4 + 1/3) x 100 = 133.3; 40 + (1/4 + 1/3) x 180 = 145.
  expect(costOfPrints(printed, prices)).toMatchObject({ platesMinor: 133, cleanUpMinor: 145 })
})
