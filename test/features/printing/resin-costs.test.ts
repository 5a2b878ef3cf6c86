import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { ratesOf } from '../../../server/features/printing/resins/rules.ts'
import { costOfPrints } from '../../../server/features/rosters/spend/rules.ts'
import { member, type Person } from '../../support/app.ts'
import { aPrinter, aReport, aResin } from '../../support/printing.ts'
import { aProposal, aRequest } from '../../support/requests.ts'
import { aRoster, aStandIn, euros, type Group, planned, startGroup } from '../../support/rosters.ts'

// The group starts with 35.00 EUR a kg, 1.1 g per ml and 10 ml a model; a file of the tests says 9.5 ml a copy.
describe('what a resin of one’s own changes', () => {
  let { close, odile, ada, ben } = {} as Group
  let requestId: string
  beforeAll(async () => {
    ;({ close, odile, ada, ben } = await startGroup({ now: () => new Date('2026-03-10T12:00:00Z') }))
    requestId = (await aRequest(ada)).id
    await aProposal(ben, requestId)
  })
  afterAll(() => close())

  const answersOf = async (person: Person, query = '?own=true') =>
    (await person.get(`/requests/${requestId}/answers${query}`)).json()
  const resinIn = async (person: Person, query?: string) =>
    (await answersOf(person, query)).items[0].breakdown.resinForGood

  test('answers for one’s own, and nobody else’s', async () => {
    const cleo = await member(odile, 'Cleo')
    const before = await answersOf(cleo)
    // Ten copies: 9.5 ml x 1.1 g/ml x 35 a kg = 0.36575.
    expect(await resinIn(cleo)).toBe('3.66')
    expect(before.resin).toBeNull()
    const anybodys = await answersOf(cleo, '')
    const { id, name } = await aResin(cleo, { price: euros('30.00'), bottleG: 500, gramsPerMl: 1.2 })
    const after = await answersOf(cleo)
    // 9.5 ml x 1.2 g/ml x 60 a kg = 0.684.
    expect(after.items[0].breakdown.resinForGood).toBe('6.84')
    expect(after.resin).toEqual({ name, gramsPerMl: 1.2, withoutRate: null })
    expect(Number(after.items[0].breakdown.failures)).toBeGreaterThan(Number(before.items[0].breakdown.failures))
    expect(await answersOf(cleo, '')).toEqual(anybodys)
    expect(await resinIn(ada)).toBe('3.66')
    expect((await cleo.page(`/requests/${requestId}?own=true`)).body).toContain(`10 copies of 9.5 ml; your ${name}`)
    // Its present price, at once; and the group's again without a usual one.
    await cleo.patch(`/resins/${id}`, { price: euros('15.00') })
    expect(await resinIn(cleo)).toBe('3.42')
    await cleo.patch('/me', { defaultResinId: null })
    expect(await answersOf(cleo)).toEqual(before)
  })

  test('a unit’s answers as well', async () => {
    const fenna = await member(odile, 'Fenna')
    const { unit } = await aStandIn(ada, { unit: { modelsPerUnit: 10 }, file: { resinMl: 9.5 } })
    await aResin(fenna, { price: euros('60.00'), gramsPerMl: 1.2 })
    const { items } = (await fenna.get(`/units/${unit.id}/answers?own=true`)).json()
    expect(items[0].breakdown.resinForGood).toBe('6.84')
  })

  test('without a rate for what was paid, the group’s price counts with the bottle’s density, and that is said', async () => {
    const dora = await member(odile, 'Dora')
    const { name } = await aResin(dora, { price: { amount: '5000', currency: 'JPY' }, gramsPerMl: 1.2 })
    // 9.5 ml x 1.2 g/ml x 35 a kg = 0.399.
    expect(await resinIn(dora)).toBe('3.99')
    expect((await answersOf(dora)).resin).toEqual({ name, gramsPerMl: 1.2, withoutRate: 'JPY' })
    expect((await dora.page(`/requests/${requestId}?own=true`)).body).toContain(
      'the group has no exchange rate for JPY',
    )
    await odile.put('/settings/rates/JPY', { worth: 0.006 })
    // 5,000 JPY are 30.00 EUR: 9.5 ml x 1.2 g/ml x 30 a kg = 0.342.
    expect(await resinIn(dora)).toBe('3.42')
  })

  test('a plan, what a roster cost, and each plate by the resin that it names', async () => {
    const emil = await member(odile, 'Emil')
    const { unit, file } = await aStandIn(emil, { unit: { modelsPerUnit: 6 }, file: { resinMl: 10 } })
    const roster = await aRoster(emil, { text: `6 x ${unit.name}` })
    const printing = async () => Number((await planned(emil, roster.id)).totals.printing.amount)
    const before = await printing()
    const usual = await aResin(emil, { price: euros('70.00'), gramsPerMl: 1.1 })
    await printing()
    const plan = (await emil.get(`/rosters/${roster.id}/plan`)).json()
    expect(plan.resin).toEqual({ name: usual.name, gramsPerMl: 1.1, withoutRate: null })
    // Six good copies of 10 ml cost 2.31 more, and those that fail besides.
    expect(Number(plan.totals.printing.amount)).toBeGreaterThanOrEqual(before + 2.31)
    expect((await emil.page(`/rosters/${roster.id}`)).body).toContain(`With your ${usual.name}.`)
    await emil.patch(`/resins/${usual.id}`, { gramsPerMl: 1.3 })
    // What was planned with the bottle as it was weighs what it weighed.
    const again = (await emil.get(`/rosters/${roster.id}/plan`)).json().totals
    expect(again.resinG).toBeCloseTo(again.resinMl * 1.1, 0)
    await emil.patch(`/resins/${usual.id}`, { gramsPerMl: 1.1 })

    const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
    const printerId = (await aPrinter(emil)).id
    const other = await aResin(emil, { price: euros('20.00'), bottleMl: 500, gramsPerMl: 1.25 })
    const entryId = roster.entries[0]?.id
    const plates = [
      { tried: 4, printerId, supportSetId },
      { tried: 3, printerId, supportSetId, resinId: other.id },
    ]
    for (const plate of plates)
      await emil.put(`/rosters/${roster.id}/entries/${entryId}/reports/${(await aReport(emil, plate)).id}`)
    const spent = async () => (await emil.get(`/rosters/${roster.id}/spend`)).json().resin
    // 40 ml x 1.1 g/ml x 70 a kg = 3.08; 30 ml of half a litre for 20.00 = 1.20.
    expect(await spent()).toEqual(euros('4.28'))
    await emil.patch('/me', { defaultResinId: null })
    // 40 ml x 1.1 g/ml x 35 a kg = 1.54 for what names none.
    expect(await spent()).toEqual(euros('2.74'))
    await emil.delete(`/resins/${other.id}`)
    expect(await spent()).toEqual(euros('2.74'))
  })
})

describe('whoever has no bottle pays as before, to the cent', () => {
  const cents = fc.integer({ min: 0, max: 100_000 })
  const density = fc.integer({ min: 800, max: 2000 }).map((thousandths) => thousandths / 1000)
  const group = (resinPricePerKgMinor: number, resinGramsPerMl: number) => ({
    currency: 'EUR',
    rates: {},
    resinPricePerKgMinor,
    resinGramsPerMl,
  })
  const ml = fc.integer({ min: 1, max: 3000 }).map((tenths) => tenths / 10)

  test('in what was printed', () => {
    const other = { perPlateMinor: 0, cleanUpMinor: 0, cleanUpPerPlateMinor: 0, timePerHourMinor: 0 }
    const prints = fc.array(fc.record({ tried: fc.integer({ min: 1, max: 500 }), resinMlPerCopy: ml }))
    fc.assert(
      fc.property(prints, cents, density, (some, price, gramsPerMl) => {
        const resin = ratesOf(null, group(price, gramsPerMl))
        const printed = some.map((print) => ({
          ...print,
          good: 0,
          mended: 0,
          mendedMinutes: null,
          resin,
          onPlate: { tried: print.tried, good: 0 },
        }))
        const volume = some.reduce((sum, { tried, resinMlPerCopy }) => sum + tried * resinMlPerCopy, 0)
        expect(costOfPrints(printed, other).resinMinor).toBe(Math.round((volume * gramsPerMl * price) / 1000))
      }),
    )
  })

  test('and a bottle that costs and weighs what the group’s does is the same, whichever way it is told', () => {
    fc.assert(
      fc.property(cents, density, (price, gramsPerMl) => {
        const settings = group(price, gramsPerMl)
        const bottle = { priceMinor: price, priceCurrency: 'EUR', bottleG: null, bottleMl: null, gramsPerMl }
        expect(ratesOf(bottle, settings)).toEqual(ratesOf(null, settings))
        expect(ratesOf({ ...bottle, bottleG: 1000 }, settings)).toEqual(ratesOf(null, settings))
        const half = { ...bottle, priceMinor: price * 2, bottleMl: 2000 / gramsPerMl }
        expect(ratesOf(half, settings).resinPricePerKgMinor).toBeCloseTo(price, 6)
      }),
    )
  })
})
