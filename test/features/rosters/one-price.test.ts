import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Answers } from '../../../server/features/requests/answers/schema.ts'
import { draw } from '../../../server/features/rosters/plan/draw.ts'
import { rosterFacts } from '../../../server/features/rosters/plan/facts.ts'
import { askedPlan } from '../../../server/features/rosters/plan/schema.ts'
import { type Viewer, viewersNamed } from '../../../server/http/session.ts'
import { anOffer, aSnag, aUnit } from '../../support/catalogue.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aPrinter, aReport, aResin } from '../../support/printing.ts'
import { aRoster, type Group, planned, startGroup } from '../../support/rosters.ts'

/*
 * A plan counts for an entry what the ranking counts for the same file and models, but for the price of the file: plans
 * buy offers, and one may serve several entries.
 */
describe('one price of a file', () => {
  let { db, ada, close } = {} as Group
  let unit: { id: string; name: string }
  let rosterId: string

  beforeAll(async () => {
    ;({ db, ada, close } = await startGroup())
    unit = await aUnit(ada)
    const { id: printerId } = await aPrinter(ada, { plateMm: [130, 80] })
    // A second printer, which is not the usual one, must not come in.
    await aPrinter(ada, { plateMm: [300, 200] })
    const base = { shape: 'round', widthMm: 32 }
    const kinds = { revision: { label: 'first', supportKinds: ['as supplied', 'extra supports'] } }
    const some: Record<string, unknown>[] = [
      { resinMl: 4.2, base },
      { resinMl: 31, base: { shape: 'oval', widthMm: 62, lengthMm: 38 }, ...kinds },
      { resinMl: null, base: null },
      { resinMl: 12, base: { shape: 'round', widthMm: 120 } },
    ]
    for (const [place, file] of some.entries()) {
      const on = await aPrintable(ada, { ...file, standsInFor: [unit.id] })
      await anOffer(ada, on.fileId, { price: { amount: `${3 + place}.50`, currency: 'EUR' } })
      const failures = [{ seen: 'supports snapped', copies: place }].filter(({ copies }) => copies > 0)
      await aReport(ada, { supportSetId: on.supportSetId, printerId, failures })
      if (place % 2 === 0)
        await aSnag(ada, on.fileId, on.revisionId, { severity: 'costs time', minutes: 10 * (place + 1) })
    }
    await aResin(ada, { price: { amount: '17.30', currency: 'EUR' }, bottleMl: 400, gramsPerMl: 1.17 })
    await refitHere(db)
    rosterId = (await aRoster(ada, { text: `5 x ${unit.name}` })).id
  })
  afterAll(() => close())

  /** By file, what the ranking counts besides its price, in cents. */
  async function ranked(models: number): Promise<Map<string, number>> {
    const { items } = (await ada.get(`/units/${unit.id}/answers?own=true&wanted=${models}`)).json<Answers>()
    const cents = (amount: string) => Math.round(100 * Number(amount))
    return new Map(
      items.map(({ file, breakdown: { price: _price, looks: _looks, ...others } }) => [
        file.id,
        Object.values(others).reduce((sum, amount) => sum + cents(amount), 0),
      ]),
    )
  }

  async function factsOfAda() {
    const viewers = await viewersNamed(db, [ada.id])
    return rosterFacts(db, viewers[0] as Viewer, rosterId)
  }

  test('for every file, however many models', async () => {
    const facts = await factsOfAda()
    const asked = askedPlan.parse({})
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 60 }), async (models) => {
        const open = facts.open.map((entry) => ({ ...entry, missing: models }))
        const { instance } = await draw({ ...facts, open }, asked)
        const costs = new Map(instance.candidates.map(({ fileId, printMinor }) => [fileId, printMinor]))
        expect(costs.size).toBe(4)
        expect(costs).toEqual(await ranked(models))
      }),
      { numRuns: 15 },
    )
  })

  test('in the plan as it is shown', async () => {
    const ofRanking = await ranked(5)
    const [entry] = (await planned(ada, rosterId)).entries
    expect(Math.round(100 * Number(entry?.printing.amount))).toBe(ofRanking.get(entry?.fileId ?? ''))
  })
})
