import { beforeAll, expect, test } from 'vitest'
import type { Instance, Offer } from '../../server/planning/instance.ts'
import type { PlanResult } from '../../server/planning/plan-result.ts'
import { planRoster } from '../../server/planning/plan-roster.ts'
import { openSolver, type Solver } from '../../server/planning/solver.ts'
import { Random } from '../../server/scoring/random.ts'
import { reprice } from './reprice.ts'
import { inGoodTime } from './rosters.ts'
import { rosterOf } from './small.ts'
import { smallRoster } from './small-rosters.ts'

let solver: Solver
beforeAll(async () => {
  solver = await openSolver()
})

function plan(instance: Instance): PlanResult {
  const result = planRoster(instance, { solver, until: inGoodTime() })
  expect(result.proven).toBe(true)
  return result
}

/** So many of each kind, other ones than the brute force sees. */
const seeds = Array.from({ length: 10 }, (_, place) => 10_001 + place)
const rosters = seeds.flatMap((seed) => [smallRoster('mixed', seed), smallRoster('hard', seed)])

/** Whether one covers fewer entries, or as many for more. */
function isWorse(one: PlanResult, other: PlanResult): boolean {
  const [ours, theirs] = [one.plan.uncovered.length, other.plan.uncovered.length]
  return ours > theirs || (ours === theirs && one.objectiveMinor > other.objectiveMinor + 1e-6)
}

test('one more offer never makes a plan dearer, nor leaves more out', () => {
  for (const [place, roster] of rosters.entries()) {
    const random = new Random(place)
    const fileIds = roster.files.filter(() => random.uniform() < 0.4).map(({ id }) => id)
    const offer: Offer = { id: 'one more', kind: 'bundle', priceMinor: Math.floor(1200 * random.uniform()), fileIds }
    expect(isWorse(plan({ ...roster, offers: [...roster.offers, offer] }), plan(roster))).toBe(false)
  }
})

test('having a file never makes a plan dearer, nor leaves more out', () => {
  for (const [place, roster] of rosters.entries()) {
    const { fileId } = roster.candidates[place % roster.candidates.length] ?? { fileId: '' }
    const owned: Offer = { id: 'archive', kind: 'owned', priceMinor: 0, fileIds: [fileId] }
    expect(isWorse(plan({ ...roster, offers: [...roster.offers, owned] }), plan(roster))).toBe(false)
  }
})

/** The same roster once an offer of its plan is paid for: its files are there, and its price is out of the budget. */
function bought(roster: Instance, { offers }: PlanResult['plan'], offerId: string): Instance {
  const { fileIds = [], priceMinor = 0 } = roster.offers.find(({ id }) => id === offerId) ?? {}
  const { budgetMinor } = roster.options
  const options = {
    ...roster.options,
    earlier: offers.map((offer) => offer.offerId),
    ...(budgetMinor !== undefined && { budgetMinor: budgetMinor - priceMinor }),
  }
  const owned: Offer = { id: 'archive', kind: 'owned', priceMinor: 0, fileIds }
  return { ...roster, offers: [...roster.offers.filter(({ id }) => id !== offerId), owned], options }
}

test('buying an offer of a plan and planning again leaves its price less to be spent, and nothing else changed', () => {
  let purchases = 0
  for (const { options, ...rest } of rosters) {
    const { differFrom: _, ...kept } = options
    const roster = { ...rest, options: kept }
    const before = plan(roster)
    for (const { offerId, priceMinor } of before.plan.offers.filter((offer) => offer.priceMinor > 0)) {
      const after = plan(bought(roster, before.plan, offerId))
      const still = ({ plan: { totals } }: PlanResult) => totals.offersMinor + totals.printMinor
      expect(still(after)).toBe(still(before) - priceMinor)
      expect(after.objectiveMinor).toBeCloseTo(before.objectiveMinor - priceMinor, 6)
      expect(after.plan.uncovered).toHaveLength(before.plan.uncovered.length)
      expect(after.plan.entries.map(({ fileId }) => fileId)).toEqual(before.plan.entries.map(({ fileId }) => fileId))
      purchases++
    }
  }
  expect(purchases).toBeGreaterThan(10)
})

test('of two plans that are as good the earlier one is kept', () => {
  const tie = rosterOf({
    entries: [{ id: 'wardens' }],
    candidates: [
      ['wardens', 'Fen Wardens', 500],
      ['wardens', 'Reed Watch', 500],
    ],
    offers: [
      { id: 'fen', priceMinor: 700, fileIds: ['Fen Wardens'] },
      { id: 'reed', priceMinor: 700, fileIds: ['Reed Watch'] },
    ],
  })
  for (const id of ['fen', 'reed'])
    expect(plan({ ...tie, options: { ...tie.options, earlier: [id] } }).plan.offers).toMatchObject([{ offerId: id }])
})

test('a tighter budget never makes a plan cheaper, nor covers more', () => {
  for (const roster of rosters) {
    const withBudget = (budgetMinor: number) => plan({ ...roster, options: { ...roster.options, budgetMinor } })
    const plans = [0, 300, 700, 1200, 2500, 1e6].map(withBudget)
    for (const [place, looser] of plans.entries()) {
      const tighter = plans[place - 1]
      if (tighter) expect(isWorse(looser, tighter)).toBe(false)
    }
    expect(
      plans.map(({ plan: { totals } }, place) => totals.offersMinor <= ([0, 300, 700, 1200, 2500, 1e6][place] ?? 0)),
    ).not.toContain(false)
  }
})

test('re-priced from the input, a plan costs what it says, to the cent', () => {
  for (const roster of rosters) {
    const { plan: made, objectiveMinor } = plan(roster)
    const { objective, moneyMinor } = reprice(roster, made)
    expect(objective).toBeCloseTo(objectiveMinor, 6)
    const { offersMinor, printMinor, looksMinor, bonusMinor } = made.totals
    expect(moneyMinor).toBe(offersMinor + printMinor)
    // Parts of split entries are rounded one by one, which may move each by half a cent.
    const split = made.entries.length - new Set(made.entries.map(({ entryId }) => entryId)).size
    expect(Math.abs(offersMinor + printMinor + looksMinor - bonusMinor - objective)).toBeLessThanOrEqual(
      2 * split + 1e-6,
    )
  }
})

test('the order of the input changes nothing in the totals', () => {
  for (const [place, roster] of rosters.entries()) {
    const random = new Random(place)
    const shuffled = <Item>(items: readonly Item[]) => {
      return items
        .map((item) => ({ item, at: random.uniform() }))
        .sort((one, other) => one.at - other.at)
        .map(({ item }) => item)
    }
    const other: Instance = {
      entries: shuffled(roster.entries),
      files: shuffled(roster.files),
      candidates: shuffled(roster.candidates),
      offers: shuffled(roster.offers).map((offer) => ({ ...offer, fileIds: shuffled(offer.fileIds) })),
      options: roster.options,
    }
    const { plan: first, ...proof } = plan(roster)
    const { plan: second, ...otherProof } = plan(other)
    expect(second.totals).toEqual({ ...first.totals, withoutRetail: expect.any(Array) })
    expect(otherProof.objectiveMinor).toBe(proof.objectiveMinor)
    expect(second.uncovered.map(({ entryId }) => entryId).sort()).toEqual(
      first.uncovered.map(({ entryId }) => entryId).sort(),
    )
  }
})

test('names mean nothing: spaces, minus signs, words that a solver knows, the same word for all', () => {
  const words = ['free', '-', 'st', 'e 1', 'inf', '', 'Bounds', '3 x', '__proto__', 'constructor', 'end\n', '"', '<=']
  const renamed = (id: string) =>
    `${words[Number(id.replaceAll(/\D/g, '') || 0)] ?? id}${id.startsWith('membership') ? '/' : ''}`
  for (const seed of seeds) {
    const { theme, exclude, differFrom, ...rest } = smallRoster('mixed', seed).options
    const roster = { ...smallRoster('mixed', seed), options: rest }
    const other: Instance = {
      ...roster,
      entries: roster.entries.map(({ pinnedFileId, ...entry }) => ({ ...entry, id: renamed(entry.id) })),
      files: roster.files.map((file) => ({ ...file, id: renamed(file.id), sculptorId: 'free' })),
      candidates: roster.candidates.map((one) => ({
        ...one,
        entryId: renamed(one.entryId),
        fileId: renamed(one.fileId),
      })),
      offers: roster.offers.map((offer) => ({ ...offer, id: renamed(offer.id), fileIds: offer.fileIds.map(renamed) })),
    }
    const plain = { ...roster, entries: roster.entries.map(({ pinnedFileId, ...entry }) => entry) }
    expect(plan(other).objectiveMinor).toBeCloseTo(plan(plain).objectiveMinor, 6)
  }
})

test('an offer that lists a file twice, or files that nobody needs, is like one that does not', () => {
  for (const roster of rosters) {
    const offers = roster.offers.map((offer) => ({
      ...offer,
      fileIds: [...offer.fileIds, ...offer.fileIds, 'Bog Oak'],
    }))
    const candidates = [...roster.candidates, ...roster.candidates]
    expect(plan({ ...roster, offers, candidates }).objectiveMinor).toBeCloseTo(plan(roster).objectiveMinor, 6)
  }
})
