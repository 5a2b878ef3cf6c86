import { describe, expect, test } from 'vitest'
import type { Instance } from '../../server/planning/instance.ts'
import { naivePlans } from '../../server/planning/naive.ts'
import type { PlanResult, Progress } from '../../server/planning/plan-result.ts'
import { greedyPlan } from '../../server/planning/search.ts'
import { SolverThreads } from '../../server/planning/solver-threads.ts'
import { firstAnswer, startPlan } from '../../server/planning/start-plan.ts'
import { reprice } from './reprice.ts'
import { roster } from './rosters.ts'
import { wardensAndHounds } from './small.ts'

/** Many seconds of work, for the sake of the budget. */
const withBudget = (budgetMinor: number): Instance => {
  const { options, ...rest } = roster({ entries: 150, candidates: 40, offers: 2500, looksWorthMinor: 100, seed: 1 })
  return { ...rest, options: { ...options, budgetMinor } }
}
const large = withBudget(7000)

describe('in a thread of its own', () => {
  test('to a proven optimum', async () => {
    const result = await startPlan(wardensAndHounds).result
    expect(result).toMatchObject({ proven: true, objectiveMinor: 2300, boundMinor: 2300, gap: 0, ended: 'proven' })
    expect(result.ms).toBeGreaterThan(0)
  })

  test('the greedy plan and the naive ones come first, and without a solver', async () => {
    const { greedy, naive } = await firstAnswer(wardensAndHounds)
    expect(greedy.plan).toEqual(greedyPlan(wardensAndHounds).plan)
    expect(naive).toEqual(naivePlans(wardensAndHounds))
  })

  test('several at once, more than there are threads', async () => {
    const plans = Array.from({ length: 5 }, (_, place) => {
      return startPlan({ ...wardensAndHounds, options: { looksWorthMinor: 20 * place } }).result
    })
    const objectives = (await Promise.all(plans)).map(({ objectiveMinor }) => objectiveMinor)
    expect(objectives).toEqual([1750, 1860, 1970, 2080, 2190])
  })

  test('stopped, it is the best so far with its gap', async () => {
    const { promise: bounded, resolve } = Promise.withResolvers<void>()
    const seen: Progress[] = []
    const better: PlanResult[] = []
    const running = startPlan(large, {
      timeLimitS: 3600,
      onBetter: (plan) => better.push(plan),
      onProgress: (progress) => {
        seen.push(progress)
        if (progress.phase === 'cost' && progress.bound !== null) resolve()
      },
    })
    await bounded
    running.stop()
    const result = await running.result
    expect(result).toMatchObject({ proven: false, ended: 'stopped' })
    expect(result.gap).toBeGreaterThan(0)
    expect(result.boundMinor).toBeLessThan(result.objectiveMinor)
    const greedy = greedyPlan(large)
    expect(result.plan.uncovered.length).toBeLessThanOrEqual(greedy.plan.uncovered.length)
    const coversMore = result.plan.uncovered.length < greedy.plan.uncovered.length
    expect(coversMore || result.objectiveMinor <= greedy.objectiveMinor).toBe(true)
    expect(reprice(large, result.plan).objective).toBe(result.objectiveMinor)
    // It begins with the greedy plan, and each is better than the one before.
    expect(better.length).toBeGreaterThan(1)
    expect(better[0]?.plan).toEqual(greedy.plan)
    expect(better.at(-1)?.objectiveMinor).toBe(result.objectiveMinor)
    const order = better.map(({ plan, objectiveMinor }) => 1e9 * plan.uncovered.length + objectiveMinor)
    expect(order).toEqual(order.toSorted((one, other) => other - one))
    expect(new Set(order).size).toBe(order.length)
    const last = seen.at(-1)
    expect(last).toMatchObject({ phase: 'cost' })
    expect(last?.gap).toBeGreaterThan(0)
  })

  test('out of time, it is the best so far, and says so', async () => {
    const result = await startPlan(large, { timeLimitS: 0.4 }).result
    expect(result).toMatchObject({ proven: false, ended: 'time limit' })
    expect(reprice(large, result.plan).objective).toBe(result.objectiveMinor)
  })

  test('without time it is the greedy plan', async () => {
    const { ms, ...result } = await startPlan(large, { timeLimitS: 0 }).result
    const { ms: otherMs, ...greedy } = greedyPlan(large)
    expect(result).toEqual(greedy)
  })

  test('where it runs out before the fewest left out are known, costs are not looked at', async () => {
    const poor = withBudget(5000)
    const result = await startPlan(poor, { timeLimitS: 0.3 }).result
    expect(result).toMatchObject({ proven: false, coverProven: false, boundMinor: null, gap: null })
    expect(reprice(poor, result.plan).objective).toBe(result.objectiveMinor)
  })

  test('a roster that makes no sense is refused at once', () => {
    const [offer] = wardensAndHounds.offers
    const offers = [{ ...offer, priceMinor: -1 } as Instance['offers'][number]]
    expect(() => startPlan({ ...wardensAndHounds, offers })).toThrow(RangeError)
  })
})

describe('whatever a thread does, there is an answer', () => {
  const script = new URL('./threads-script.ts', import.meta.url)
  const called = (id: string): Instance => {
    const [first, ...rest] = wardensAndHounds.entries
    const candidates = wardensAndHounds.candidates.map((one) =>
      one.entryId === first?.id ? { ...one, entryId: id } : one,
    )
    return { ...wardensAndHounds, candidates, entries: [{ models: 10, retailMinor: 4200, id }, ...rest] }
  }

  test.each([
    ['exit', 'the solver failed: its thread ended with code 3'],
    ['throw', 'the solver failed: out of paper'],
    ['fail', 'the solver failed: Aborted'],
  ])('%s: the greedy plan, with what went wrong, and the next plan is none the worse', async (id, failure) => {
    const threads = new SolverThreads(script)
    const result = await startPlan(called(id), { threads }).result
    expect(result).toMatchObject({ proven: false, ended: 'failed', failure })
    expect(result.plan).toEqual(greedyPlan(called(id)).plan)
    expect(threads.size).toBe(0)
    expect((await startPlan(wardensAndHounds, { threads }).result).proven).toBe(true)
  })

  test('the first answer comes all the same where its thread dies', async () => {
    const threads = new SolverThreads(script)
    const { greedy, naive } = await firstAnswer(called('exit'), threads)
    expect(greedy.plan).toEqual(greedyPlan(called('exit')).plan)
    expect(naive).toEqual(naivePlans(called('exit')))
    expect(threads.size).toBe(0)
  })

  test('it does not listen: ended from outside, with the best that it had told', async () => {
    const threads = new SolverThreads(script)
    const told = Promise.withResolvers<void>()
    const plan = { threads, timeLimitS: 3600, onBetter: () => told.resolve() }
    const running = startPlan(called('hang after better'), plan)
    await told.promise
    running.stop()
    const result = await running.result
    expect(result).toMatchObject({ ended: 'stopped', objectiveMinor: 2300 })
    expect(threads.size).toBe(0)
  })

  test('nor watches the time', async () => {
    const result = await startPlan(called('hang'), { threads: new SolverThreads(script), timeLimitS: 0.1 }).result
    expect(result).toMatchObject({ ended: 'time limit', proven: false })
  })

  test('stopped while it waits, the greedy plan comes at once', async () => {
    const threads = new SolverThreads(script, 1)
    const first = startPlan(called('slow'), { threads })
    const second = startPlan(called('hang'), { threads })
    const third = startPlan(called('fast'), { threads })
    second.stop()
    expect(await second.result).toMatchObject({ ended: 'stopped', plan: greedyPlan(called('hang')).plan })
    expect((await first.result).ended).toBe('proven')
    expect((await third.result).ended).toBe('proven')
  })

  test('a thread serves again, unless its memory has grown large', async () => {
    const threads = new SolverThreads(script)
    await startPlan(called('small'), { threads }).result
    expect(threads.size).toBe(1)
    await startPlan(called('small'), { threads }).result
    expect(threads.size).toBe(1)
    await startPlan(called('large'), { threads }).result
    expect(threads.size).toBe(0)
  })
})
