import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { aFile, anOffer } from '../../support/catalogue.ts'
import { aPrinter, aReport } from '../../support/printing.ts'
import { aRoster, aStandIn, euros, type Group, type MadePlan, planned, startGroup } from '../../support/rosters.ts'

describe('a plan that is made again', () => {
  let { close, ada } = {} as Group
  let printerId: string
  beforeAll(async () => {
    ;({ close, ada } = await startGroup())
    printerId = (await aPrinter(ada)).id
  })
  afterAll(() => close())

  /** Two units of 6 models, each with a file for 9.00, in a planned roster. */
  async function twoPlanned() {
    const both = [await aStandIn(ada), await aStandIn(ada)]
    const roster = await aRoster(ada, { text: both.map(({ unit }) => `6 x ${unit.name}`).join('\n') })
    const before = await planned(ada, roster.id)
    const [first, second] = both.map(({ file, offer }, place) => ({
      file,
      offer,
      entryId: roster.entries[place]?.id ?? '',
      supportSetId: file.revisions[0]?.supportSets[0]?.id ?? '',
    }))
    if (!first || !second) throw new Error('two were made')
    return { id: roster.id, before, first, second }
  }

  const planOf = async (id: string) => (await ada.get(`/rosters/${id}/plan`)).json<MadePlan>()
  const buy = async (id: string, offerId: string, amount: string) =>
    expect((await ada.post(`/rosters/${id}/purchases`, { offerId, paid: euros(amount) })).statusCode).toBe(201)
  async function print(id: string, { entryId, supportSetId }: { entryId: string; supportSetId: string }, good: number) {
    const report = await aReport(ada, { supportSetId, printerId, tried: good, failures: [] })
    expect((await ada.put(`/rosters/${id}/entries/${entryId}/reports/${report.id}`)).statusCode).toBe(204)
  }
  const minor = ({ amount }: { amount: string }) => Math.round(100 * Number(amount))

  test('counts what was bought as spent, so that neither the saving nor the sum gains by buying', async () => {
    const { id, before, first } = await twoPlanned()
    await buy(id, first.offer.id, '9.00')
    for (const after of [await planOf(id), await planned(ada, id)]) {
      expect(after.totals.spent.amount).toBe('9.00')
      expect(minor(after.totals.money)).toBe(minor(before.totals.money) - 900)
      expect(after.totals.all).toEqual(before.totals.all)
      expect(after.totals.saving).toEqual(before.totals.saving)
    }
    expect((await ada.get(`/rosters/${id}/spend`)).json().plan).toEqual(before.totals.all)
    const page = (await ada.page(`/rosters/${id}`)).body
    expect(page).toContain('Spent so far')
    expect(page).toContain('All of it')
  })

  test('never asks for more by buying, whatever is paid, one offer after the other', async () => {
    const { id, before } = await twoPlanned()
    let [still, all] = [minor(before.totals.money), minor(before.totals.all)]
    for (const [place, offer] of before.offers.entries()) {
      const paid = [750, 1030][place] ?? 900
      await buy(id, offer.offerId ?? '', (paid / 100).toFixed(2))
      const { totals } = await planned(ada, id)
      expect(minor(totals.money)).toBe(still - 900)
      // What was paid differs from what was asked: that alone moves the sum.
      expect(minor(totals.all)).toBe(all + paid - 900)
      ;[still, all] = [minor(totals.money), minor(totals.all)]
    }
    expect((await planOf(id)).totals.offers.amount).toBe('0.00')
  })

  test('has what was paid for, also where it is not in the archive, and a budget is for all of it', async () => {
    const { id, first, second } = await twoPlanned()
    await buy(id, first.offer.id, '9.00')
    await ada.delete(`/archive/${first.file.id}`)
    const after = await planned(ada, id)
    expect(after.totals.offers.amount).toBe('9.00')
    expect(after.offers.filter(({ kind }) => kind !== 'owned').map(({ offerId }) => offerId)).toEqual([second.offer.id])
    // 9.00 of 15.00 are paid: the other offer is beyond what is left.
    const tight = await planned(ada, id, { budget: euros('15.00') })
    expect(tight.uncovered).toMatchObject([{ entryId: second.entryId, reason: 'over budget' }])
  })

  test('asks only for the models that are missing, and for nothing once they are all printed', async () => {
    const { id, before, first, second } = await twoPlanned()
    await print(id, first, 4)
    for (const after of [await planOf(id), await planned(ada, id)]) {
      expect(after.entries).toMatchObject([
        { entryId: first.entryId, models: 2 },
        { entryId: second.entryId, models: 6 },
      ])
      expect(after.entries[0]?.copies).toBeLessThan(before.entries[0]?.copies ?? 0)
      expect(after.totals.retail).toEqual(before.totals.retail)
    }
    await print(id, first, 2)
    // Nothing of the first is needed any more, its offer included, for which nothing was paid.
    for (const after of [await planOf(id), await planned(ada, id)]) {
      expect(after.done).toEqual([first.entryId])
      expect(after.entries.map(({ entryId }) => entryId)).toEqual([second.entryId])
      expect(after.offers.map(({ offerId }) => offerId)).toEqual([second.offer.id])
      expect(after.totals.offers.amount).toBe('9.00')
      expect(after.totals.retail).toEqual(before.totals.retail)
      expect(minor(after.totals.all)).toBe(minor(after.totals.money) + minor(after.totals.spent))
    }
    await print(id, second, 6)
    const done = await planned(ada, id)
    expect(done).toMatchObject({ state: 'done', proven: true, entries: [], uncovered: [], offers: [] })
    expect(done.totals.all).toEqual(done.totals.spent)
    expect((await ada.page(`/rosters/${id}`)).body).toContain('All printed already')
  })

  test('is out of date where a print no longer counts', async () => {
    const { id, first } = await twoPlanned()
    const report = await aReport(ada, { supportSetId: first.supportSetId, printerId, tried: 4, failures: [] })
    const tied = `/rosters/${id}/entries/${first.entryId}/reports/${report.id}`
    await ada.put(tied)
    expect((await planned(ada, id)).outOfDate).toBe(false)
    await ada.delete(tied)
    expect((await planOf(id)).outOfDate).toBe(true)
    expect((await planned(ada, id)).entries[0]).toMatchObject({ models: 6 })
  })

  test('is out of date where the resin costs or weighs something else, and not where it is only renamed', async () => {
    const { id } = await twoPlanned()
    const bottle = { name: 'Loam', price: euros('30.00'), bottleG: 1000, gramsPerMl: 1.1 }
    const resin = (await ada.post('/resins', bottle)).json()
    await ada.patch('/me', { defaultResinId: resin.id })
    expect((await planOf(id)).outOfDate).toBe(true)
    expect((await planned(ada, id)).outOfDate).toBe(false)
    await ada.patch(`/resins/${resin.id}`, { name: 'Dark loam' })
    expect((await planOf(id)).outOfDate).toBe(false)
    await ada.patch(`/resins/${resin.id}`, { price: euros('36.00') })
    expect((await planOf(id)).outOfDate).toBe(true)
    expect((await ada.page(`/rosters/${id}`)).body).toContain('by a plan that is out of date')
    expect((await planned(ada, id)).outOfDate).toBe(false)
    await ada.patch(`/resins/${resin.id}`, { gramsPerMl: 1.2 })
    expect((await planOf(id)).outOfDate).toBe(true)
    await ada.patch('/me', { defaultResinId: null })
  })
})

describe('a plan buys what can be printed', () => {
  let { close, ada, ben } = {} as Group
  beforeAll(async () => {
    ;({ close, ada, ben } = await startGroup())
  })
  afterAll(() => close())

  const small = { plateMm: [120, 70], buildHeightMm: 150 }

  test('what none of the printers takes is out with its reason, unless it is pinned', async () => {
    await aPrinter(ada, small)
    const wide = { base: { shape: 'round', widthMm: 200 }, heightMm: 60 }
    const { unit, file, offer } = await aStandIn(ada, { file: wide })
    const high = await aFile(ada, { standsInFor: [unit.id], base: { shape: 'round', widthMm: 40 }, heightMm: 160 })
    await anOffer(ada, high.id, { price: euros('5.00') })
    const roster = await aRoster(ada, { text: `2 x ${unit.name}` })
    const [entryId = ''] = roster.entries.map(({ id }) => id)
    const none = await planned(ada, roster.id)
    expect(none.entries).toEqual([])
    expect(none.uncovered).toMatchObject([
      { entryId, reason: 'fits no printer', words: expect.stringContaining('fits on any of your printers') },
    ])
    expect(none.tooLarge.map(({ fileId }) => fileId).sort()).toEqual([file.id, high.id].sort())

    const dearer = await aFile(ada, { standsInFor: [unit.id], base: { shape: 'round', widthMm: 60 }, heightMm: 60 })
    const fitting = await anOffer(ada, dearer.id, { price: euros('30.00') })
    const plan = await planned(ada, roster.id)
    expect(plan.entries).toMatchObject([{ fileId: dearer.id, offerId: fitting.id, fits: true }])
    const page = (await ada.page(`/rosters/${roster.id}`)).body
    expect(page).toContain('none of your printers takes them')
    expect(page).toContain(`“${file.title}”`)

    const pinned = await planned(ada, roster.id, { pins: { [entryId]: file.id } })
    expect(pinned.entries).toMatchObject([{ fileId: file.id, offerId: offer.id, fits: false }])
    expect(pinned.tooLarge.map(({ fileId }) => fileId)).toEqual([high.id])
  })

  test('a second printer that takes it is planned for; without any printer nothing is left out', async () => {
    const { unit, file } = await aStandIn(ben, { file: { base: { shape: 'round', widthMm: 140 }, heightMm: 60 } })
    const { id } = await aRoster(ben, { text: `2 x ${unit.name}` })
    expect((await planned(ben, id)).entries).toMatchObject([{ fileId: file.id }])
    await aPrinter(ben, small)
    const large = await aPrinter(ben, { plateMm: [300, 180], buildHeightMm: 300 })
    const otherPrinter = { id: large.id, name: large.name }
    expect((await planned(ben, id)).entries).toMatchObject([{ fileId: file.id, fits: true, otherPrinter, plates: 2 }])
    expect((await ben.page(`/rosters/${id}`)).body).toContain('since the usual one does not take it')
  })

  test('a what-if tells the same thing by another offer from the offer that is done without', async () => {
    const { unit, file, offer } = await aStandIn(ben)
    await anOffer(ben, file.id, { price: euros('12.00') })
    const { id } = await aRoster(ben, { text: `5 x ${unit.name}` })
    await planned(ben, id)
    const { plans } = (await ben.get(`/rosters/${id}/plan/what-ifs?kind=without offer&offerId=${offer.id}`)).json()
    expect(plans).toMatchObject([{ drops: [file.title] }])
    expect(plans[0].adds).toEqual([`${file.title}, by another offer (purchase for 12.00 EUR)`])
  })

  test('the sum that decides stands beside every way of choosing, and no way has a smaller one', async () => {
    const cheap = await aStandIn(ben)
    await aFile(ben, { standsInFor: [cheap.unit.id], offer: { kind: 'purchase', price: euros('8.00') } })
    const { id } = await aRoster(ben, { text: `5 x ${cheap.unit.name}` })
    const plan = await planned(ben, id, { looks: '2.00' })
    const { money, looks } = plan.totals
    expect(Number(plan.asPlanned.decides.amount)).toBeCloseTo(Number(money.amount) + Number(looks.amount), 9)
    for (const { decides } of plan.naive)
      expect(Number(decides.amount)).toBeGreaterThanOrEqual(Number(plan.asPlanned.decides.amount))
    expect((await ben.page(`/rosters/${id}`)).body).toContain('Sum that decides')
  })
})
