import type { Instance, Options } from './instance.ts'
import type { Plan } from './plan.ts'
import type { PlanResult } from './plan-result.ts'
import { type PlanOptions, type RunningPlan, startPlan } from './start-plan.ts'

export type WhatIf =
  | { kind: 'without memberships' }
  | { kind: 'without offer'; offerId: string }
  /** the best plan in which the entry is printed from something else */
  | { kind: 'second choice'; entryId: string }
  /** plans that each do without 30 % of the offers of every one before */
  | { kind: 'other plans'; most: number }

export type WhatIfAnswer = {
  plans: Compared[]
  /** for an offer: up to which price it stays worth buying; null where no plan covers as much without it, or no proof */
  worthUpTo: WorthUpTo | null
}

export type Compared = {
  result: PlanResult
  /** offers and printing, minus those of the plan that it is compared with; negative if it is cheaper and looks worse */
  extraMoneyMinor: number
  extraObjectiveMinor: number
  moreUncovered: number
}

export type WorthUpTo = {
  priceMinor: number
  /** false: it may stay worth more, but not with the same plan, which the budget would no longer allow */
  isExact: boolean
}

export type RunningWhatIf = { result: Promise<WhatIfAnswer>; stop: () => void }

/** Share of a plan's offers that another one has to do without. */
const dropShare = 0.3

/**
 * Plans a roster once more with something changed. Never rejects; the time limit is that of the whole answer.
 *
 * @param made the plan to compare with, made from the same instance
 * @throws RangeError when the plan does not buy the offer, or does not cover the entry, that is asked about
 */
export function whatIf(instance: Instance, made: PlanResult, asked: WhatIf, options: PlanOptions = {}): RunningWhatIf {
  if (asked.kind === 'other plans') return otherPlans(instance, made, asked.most, options)
  const running = startPlan(withOptions(instance, changed(instance.options, made.plan, asked)), options)
  const answer = async (): Promise<WhatIfAnswer> => {
    const other = compared(await running.result, made)
    const worthUpTo = asked.kind === 'without offer' ? worthOf(asked.offerId, instance, made, other) : null
    return { plans: [other], worthUpTo }
  }
  return { result: answer(), stop: running.stop }
}

function changed(options: Options, plan: Plan, asked: Exclude<WhatIf, { kind: 'other plans' }>): Options {
  const { exclude = {} } = options
  if (asked.kind === 'without memberships') return { ...options, allowMemberships: false }
  if (asked.kind === 'without offer') {
    const { offerId } = asked
    if (!plan.offers.some((offer) => offer.offerId === offerId)) throw new RangeError(`${offerId} is not in the plan`)
    return { ...options, exclude: { ...exclude, offerIds: [...(exclude.offerIds ?? []), offerId] } }
  }
  const pairs = plan.entries.filter(({ entryId }) => entryId === asked.entryId)
  if (pairs.length === 0) throw new RangeError(`${asked.entryId} is not covered by the plan`)
  return { ...options, exclude: { ...exclude, pairs: [...(exclude.pairs ?? []), ...pairs] } }
}

function withOptions(instance: Instance, options: Options): Instance {
  return { ...instance, options }
}

function compared(result: PlanResult, made: PlanResult): Compared {
  return {
    result,
    extraMoneyMinor: moneyMinor(result) - moneyMinor(made),
    extraObjectiveMinor: result.objectiveMinor - made.objectiveMinor,
    moreUncovered: result.plan.uncovered.length - made.plan.uncovered.length,
  }
}

function moneyMinor({ plan }: PlanResult): number {
  return plan.totals.offersMinor + plan.totals.printMinor
}

/**
 * With the offer at a price of p the best plan costs min(with it + p, without it), so it may rise by just as much as
 * doing without it would cost. A budget may be used up before.
 */
function worthOf(offerId: string, { options }: Instance, made: PlanResult, other: Compared): WorthUpTo | null {
  if (!made.proven || !other.result.proven || other.moreUncovered !== 0) return null
  const price = made.plan.offers.find((offer) => offer.offerId === offerId)?.priceMinor ?? 0
  const left = (options.budgetMinor ?? Number.POSITIVE_INFINITY) - made.plan.totals.offersMinor
  const extra = Math.floor(other.extraObjectiveMinor + 1e-6)
  return { priceMinor: price + Math.min(extra, left), isExact: extra <= left }
}

function otherPlans(instance: Instance, made: PlanResult, most: number, options: PlanOptions): RunningWhatIf {
  const until = performance.now() + 1000 * (options.timeLimitS ?? 10)
  let current: RunningPlan | undefined
  let isStopped = false
  const answer = async (): Promise<WhatIfAnswer> => {
    const found: PlanResult[] = []
    while (found.length < most && !isStopped) {
      const differFrom = differences(instance.options, [made, ...found])
      const timeLimitS = (until - performance.now()) / 1000
      if (!differFrom || timeLimitS <= 0) break
      current = startPlan(withOptions(instance, { ...instance.options, differFrom }), { ...options, timeLimitS })
      const result = await current.result
      if (result.plan.uncovered.length > made.plan.uncovered.length) break
      found.push(result)
    }
    return { plans: found.map((result) => compared(result, made)), worthUpTo: null }
  }
  const stop = () => {
    isStopped = true
    current?.stop()
  }
  return { result: answer(), stop }
}

/** @returns undefined where a plan buys nothing, so that none can do without a part of it */
function differences({ differFrom = [] }: Options, plans: readonly PlanResult[]): Options['differFrom'] {
  const bought = plans.map(({ plan }) => plan.offers.filter(({ priceMinor }) => priceMinor > 0))
  if (bought.some((offers) => offers.length === 0)) return undefined
  const others = bought.map((offers) => ({
    offerIds: offers.map(({ offerId }) => offerId),
    dropAtLeast: Math.ceil(dropShare * offers.length - 1e-9),
  }))
  return [...differFrom, ...others]
}
