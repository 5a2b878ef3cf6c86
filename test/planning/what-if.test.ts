import { expect, test } from 'vitest'
import type { Instance, Options } from '../../server/planning/instance.ts'
import type { PlanResult } from '../../server/planning/plan-result.ts'
import { startPlan } from '../../server/planning/start-plan.ts'
import { type WhatIf, whatIf } from '../../server/planning/what-if.ts'
import { bestOfEveryPlan } from './every-plan.ts'
import { reprice } from './reprice.ts'
import { rosterOf, wardensAndHounds } from './small.ts'
import { smallRoster } from './small-rosters.ts'

const plan = (instance: Instance) => startPlan(instance).result
const ask = (instance: Instance, made: PlanResult, asked: WhatIf) => whatIf(instance, made, asked).result
const paidOffers = ({ plan }: PlanResult) => plan.offers.filter(({ priceMinor }) => priceMinor > 0)
const seeds = Array.from({ length: 6 }, (_, place) => 20_001 + place)

test('without an offer: what it would cost, and up to which price it stays worth buying', async () => {
  const made = await plan(wardensAndHounds)
  const { plans, worthUpTo } = await ask(wardensAndHounds, made, { kind: 'without offer', offerId: 'marsh bundle' })
  expect(plans).toMatchObject([
    { extraObjectiveMinor: 300, extraMoneyMinor: 650, moreUncovered: 0, result: { proven: true } },
  ])
  expect(worthUpTo).toEqual({ priceMinor: 1300, isExact: true })
})

test('at that price it is still bought, at one cent more it is not worth it', async () => {
  for (const seed of seeds) {
    const { budgetMinor, ...options } = smallRoster('mixed', seed).options
    const roster: Instance = { ...smallRoster('mixed', seed), options }
    const made = await plan(roster)
    for (const { offerId } of paidOffers(made)) {
      const { worthUpTo, plans } = await ask(roster, made, { kind: 'without offer', offerId })
      if (plans[0]?.moreUncovered !== 0) {
        expect(worthUpTo).toBeNull()
        continue
      }
      expect(worthUpTo?.isExact).toBe(true)
      const without = bestOfEveryPlan({ ...roster, offers: roster.offers.filter(({ id }) => id !== offerId) }).objective
      const at = (priceMinor: number) => {
        const offers = roster.offers.map((offer) => (offer.id === offerId ? { ...offer, priceMinor } : offer))
        return bestOfEveryPlan({ ...roster, offers }).objective
      }
      const price = worthUpTo?.priceMinor ?? Number.NaN
      expect(at(price)).toBeLessThanOrEqual(without + 1e-6)
      expect(at(price) - at(price - 1)).toBeCloseTo(1, 6)
      expect(at(price + 1)).toBeCloseTo(without, 6)
    }
  }
})

test('a budget may end it before', async () => {
  const instance = rosterOf({
    entries: [{ id: 'a' }],
    candidates: [
      ['a', 'cheap to print', 0],
      ['a', 'cheap to buy', 900],
    ],
    offers: [
      { id: 'good', priceMinor: 1000, fileIds: ['cheap to print'] },
      { id: 'other', priceMinor: 500, fileIds: ['cheap to buy'] },
    ],
    options: { budgetMinor: 1100 },
  })
  const asked = { kind: 'without offer', offerId: 'good' } as const
  const { worthUpTo } = await ask(instance, await plan(instance), asked)
  expect(worthUpTo).toEqual({ priceMinor: 1100, isExact: false })
  const looser = { ...instance, options: { ...instance.options, budgetMinor: 1400 } }
  expect((await ask(looser, await plan(looser), asked)).worthUpTo).toEqual({ priceMinor: 1400, isExact: true })
})

test('an offer without which less is covered has no such price', async () => {
  const instance = { ...wardensAndHounds, options: { looksWorthMinor: 100, budgetMinor: 1100 } }
  const made = await plan(instance)
  const { worthUpTo, plans } = await ask(instance, made, { kind: 'without offer', offerId: 'marsh bundle' })
  expect(plans[0]?.moreUncovered).toBe(1)
  expect(worthUpTo).toBeNull()
})

test('without memberships', async () => {
  for (const seed of seeds) {
    const roster = smallRoster('mixed', seed)
    const made = await plan(roster)
    const { plans } = await ask(roster, made, { kind: 'without memberships' })
    const options = { ...roster.options, allowMemberships: false }
    const best = bestOfEveryPlan({ ...roster, options })
    expect(plans[0]?.result.plan.uncovered).toHaveLength(best.uncovered)
    expect(plans[0]?.result.objectiveMinor).toBeCloseTo(best.objective, 6)
    expect(plans[0]?.result.plan.offers.filter(({ kind }) => kind === 'membership')).toEqual([])
  }
})

test('the second choice of an entry', async () => {
  const made = await plan(wardensAndHounds)
  const { plans } = await ask(wardensAndHounds, made, { kind: 'second choice', entryId: 'hounds' })
  expect(plans).toMatchObject([{ extraObjectiveMinor: 300, result: { proven: true } }])
  expect(plans[0]?.result.plan.entries).toMatchObject([{ fileId: 'Fen Wardens' }, { fileId: 'Ash Hounds' }])
})

test('other plans do without 30 % of the offers of every one before, and each is the best of such', async () => {
  for (const seed of seeds) {
    const roster = smallRoster('mixed', seed)
    const made = await plan(roster)
    const { plans } = await ask(roster, made, { kind: 'other plans', most: 3 })
    const before = [made]
    for (const { result, extraObjectiveMinor, moreUncovered } of plans) {
      expect(moreUncovered).toBeLessThanOrEqual(0)
      expect(extraObjectiveMinor).toBeGreaterThan(-1e-6)
      const differFrom: NonNullable<Options['differFrom']>[number][] = [...(roster.options.differFrom ?? [])]
      for (const other of before) {
        const theirs = paidOffers(other).map(({ offerId }) => offerId)
        const kept = theirs.filter((id) => result.plan.offers.some(({ offerId }) => offerId === id))
        expect(kept.length).toBeLessThanOrEqual(0.7 * theirs.length + 1e-9)
        differFrom.push({ offerIds: theirs, dropAtLeast: theirs.length - Math.floor(0.7 * theirs.length + 1e-9) })
      }
      const differing = { ...roster, options: { ...roster.options, differFrom } }
      expect(reprice(differing, result.plan).objective).toBeCloseTo(bestOfEveryPlan(differing).objective, 6)
      before.push(result)
    }
  }
})

test('what cannot be asked is refused at once', async () => {
  const made = await plan(wardensAndHounds)
  const asked = (what: WhatIf) => () => whatIf(wardensAndHounds, made, what)
  expect(asked({ kind: 'without offer', offerId: 'Ash Hounds alone' })).toThrow('Ash Hounds alone is not in the plan')
  expect(asked({ kind: 'second choice', entryId: 'lords' })).toThrow('lords is not covered by the plan')
})

test('a plan that buys nothing has no other', async () => {
  const free = { ...wardensAndHounds, offers: wardensAndHounds.offers.map((offer) => ({ ...offer, priceMinor: 0 })) }
  expect((await ask(free, await plan(free), { kind: 'other plans', most: 3 })).plans).toEqual([])
})

test('stopped, no further plan is looked for', async () => {
  const running = whatIf(wardensAndHounds, await plan(wardensAndHounds), { kind: 'other plans', most: 50 })
  running.stop()
  expect((await running.result).plans.length).toBeLessThanOrEqual(1)
})
