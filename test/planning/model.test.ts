import { beforeAll, describe, expect, test } from 'vitest'
import { usable } from '../../server/planning/filters.ts'
import { greedyThenDrop } from '../../server/planning/greedy.ts'
import type { Instance } from '../../server/planning/instance.ts'
import { reduced } from '../../server/planning/lagrange.ts'
import { modelOf } from '../../server/planning/model.ts'
import { planRoster } from '../../server/planning/plan-roster.ts'
import { type Problem, problemOf } from '../../server/planning/problem.ts'
import { prunedWays } from '../../server/planning/prune.ts'
import { ones, Rows } from '../../server/planning/rows.ts'
import { openSolver, type Solver, solve } from '../../server/planning/solver.ts'
import { inGoodTime, roster } from './rosters.ts'
import { wardensAndHounds } from './small.ts'
import { smallRoster } from './small-rosters.ts'

let solver: Solver
beforeAll(async () => {
  solver = await openSolver()
})

const soon = () => ({ until: inGoodTime(), tolerance: 0.99 })

test('what pruning leaves out changes no optimum', () => {
  for (let seed = 1; seed <= 5; seed++) {
    const instance = roster({ entries: 12, candidates: 10, offers: 60, looksWorthMinor: 50, seed })
    const problem = problemOf(usable(instance), instance.options)
    // A limit on every offer that forbids nothing keeps all ways.
    const unpruned: Problem = {
      ...problem,
      limits: [{ offers: [...problem.prices.keys()], most: problem.prices.length }],
    }
    expect(prunedWays(problem).flat().length).toBeLessThan(prunedWays(unpruned).flat().length)
    const pruned = solve(solver, modelOf(problem, 0).data, soon())
    const whole = solve(solver, modelOf(unpruned, 0).data, soon())
    expect(Math.round(pruned.objective)).toBe(Math.round(whole.objective))
  }
})

test('the bound is none of those that a plan can beat, and what is left out belongs to no best plan', () => {
  for (let seed = 1; seed <= 12; seed++) {
    const looksWorthMinor = seed % 2 === 0 ? 0 : 80
    const instance = roster({ entries: 15, candidates: 12, offers: 100, looksWorthMinor, seed })
    const whole = problemOf(usable(instance), instance.options)
    const bought = greedyThenDrop(whole)
    const paid = [...whole.prices.keys()].filter((offer) => bought.open[offer] && (whole.prices[offer] ?? 0) > 0)
    const limited = { ...whole, limits: [{ offers: paid, most: paid.length - 1 }] }
    for (const problem of [whole, limited]) {
      const known = greedyThenDrop(problem)
      if (known.leftOut > 0) continue
      const { bound, best, ways } = reduced(problem, known)
      const optimum = solve(solver, modelOf(problem, 0).data, {
        until: inGoodTime(),
        tolerance: 1e-6,
      }).objective
      expect(bound).toBeLessThanOrEqual(optimum + 1e-3)
      expect(bound).toBeGreaterThan(0.8 * optimum)
      expect(best.objective).toBeGreaterThanOrEqual(optimum - 1e-3)
      expect(best.objective).toBeLessThanOrEqual(known.objective)
      expect(ways.flat().length).toBeLessThan(problem.ways.flat().length)
      const left = solve(solver, modelOf({ ...problem, ways }, 0).data, {
        until: inGoodTime(),
        tolerance: 1e-6,
      })
      expect(left.objective).toBeCloseTo(optimum, 3)
    }
  }
})

test('a theme chosen within the model is as good as one model for each', () => {
  let split = 0
  for (let seed = 40_001; seed <= 40_015; seed++) {
    const { budgetMinor, differFrom, ...options } = smallRoster('hard', seed).options
    const instance: Instance = { ...smallRoster('hard', seed), options: { ...options, theme: { bonusMinor: 150 } } }
    const jointly = planRoster(instance, { solver, until: inGoodTime() })
    const tags: (string | undefined)[] = [undefined, 'bone', 'brass', 'moss']
    const found = usable(instance)
    const apart = tags.map((styleTag) => {
      const problem = problemOf(found, instance.options, { styleTag })
      return solve(solver, modelOf(problem, 0).data, { until: inGoodTime(), tolerance: 1e-6 }).objective
    })
    if (jointly.themes.length === 0) split++
    expect(jointly.objectiveMinor).toBeCloseTo(Math.min(...apart), 4)
  }
  expect(split).toBeGreaterThan(3)
})

describe('the solver', () => {
  test('an infeasible model is called that, though its objective reads 0', () => {
    const rows = new Rows()
    const columns = [rows.column(5, { integer: true }), rows.column(7, { integer: true })]
    rows.row(3, 3, ones(columns))
    expect(solve(solver, rows.data(), soon())).toEqual({
      status: 'infeasible',
      objective: Number.POSITIVE_INFINITY,
      bound: Number.POSITIVE_INFINITY,
    })
  })

  test('no columns: the empty solution, or none', () => {
    const rows = new Rows()
    rows.row(0, 1, [])
    expect(solve(solver, rows.data(), soon())).toEqual({
      status: 'optimal',
      objective: 0,
      values: new Float64Array(),
      bound: 0,
    })
    rows.row(1, 1, [])
    expect(solve(solver, rows.data(), soon()).status).toBe('infeasible')
  })

  test('a cost that is no number, or a column twice in a row, is refused, and it serves on', () => {
    const withCost = (cost: number, twice = false) => {
      const rows = new Rows()
      const column = rows.column(cost, { integer: true })
      rows.row(1, 1, ones(twice ? [column, column] : [column]))
      return rows.data()
    }
    expect(() => solve(solver, withCost(Number.NaN), soon())).toThrow()
    expect(() => solve(solver, withCost(1, true), soon())).toThrow()
    expect(solve(solver, withCost(3), soon())).toMatchObject({ status: 'optimal', objective: 3 })
  })

  test('no time, or stopped before it begins: nothing, and no bound', () => {
    const instance = wardensAndHounds
    const { data } = modelOf(problemOf(usable(instance), instance.options), 0)
    const nothing = { status: 'stopped', objective: Number.POSITIVE_INFINITY, bound: Number.NEGATIVE_INFINITY }
    expect(solve(solver, data, { ...soon(), until: performance.now() - 1 })).toEqual(nothing)
    expect(solve(solver, data, { ...soon(), isStopped: () => true })).toEqual(nothing)
  })

  test('models are given back: forty of them need no more memory than ten', () => {
    const instance = roster({ entries: 10, candidates: 20, offers: 200, looksWorthMinor: 100, seed: 1 })
    const again = (times: number) => {
      for (let time = 0; time < times; time++) planRoster(instance, { solver, until: inGoodTime(), reduces: false })
      return solver.memoryBytes
    }
    const before = again(10)
    expect(again(30)).toBe(before)
  })
})
