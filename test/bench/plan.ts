import { readFileSync } from 'node:fs'
import { loadavg } from 'node:os'
import { parseOrLibrary } from '../../server/commands/or-library.ts'
import { usable } from '../../server/planning/filters.ts'
import type { Instance } from '../../server/planning/instance.ts'
import { modelOf } from '../../server/planning/model.ts'
import { naivePlans } from '../../server/planning/naive.ts'
import type { PlanResult } from '../../server/planning/plan-result.ts'
import { problemOf } from '../../server/planning/problem.ts'
import { openSolver, type Solver, solve } from '../../server/planning/solver.ts'
import { startPlan } from '../../server/planning/start-plan.ts'
import { roster, type Size } from '../planning/rosters.ts'
import { hasCbc, solveByCbc } from './cbc.ts'
import { cpuMs, type Line, met, quantileOf, timed } from './measure.ts'

type Shape = Omit<Size, 'seed' | 'looksWorthMinor'> & { rosters: number; medianMs: number; worstMs?: number }

const shapes: Shape[] = [
  { entries: 20, candidates: 40, offers: 500, rosters: 40, medianMs: 150 },
  { entries: 80, candidates: 40, offers: 1200, rosters: 20, medianMs: 3000, worstMs: 10_000 },
]
/** Worth of looks a model: none, which is harder, and what a group starts with. */
const worths = [0, 100]
/** So many rosters of each kind are given to CBC as well, for so long each. */
const compared = { rosters: 5, limitS: 60 }

/**
 * Plans for rosters that `test/planning/rosters.ts` makes up, half of them without any worth of looks, each to a proven
 * optimum in the thread that the service would use; the same models by native CBC, where it is installed; published
 * instances; and the memory that a large job leaves behind.
 *
 * Goals are held against processor time, all threads of this process together, which others' work does not lengthen.
 *
 * @param args how many rosters of each kind instead, for a quick look
 */
export async function benchPlan([count]: string[]): Promise<boolean> {
  console.log(
    `load of this machine before: ${loadavg()
      .map((load) => load.toFixed(1))
      .join(' ')}`,
  )
  const lines: Line[] = []
  for (const shape of shapes) lines.push(...(await planAll({ ...shape, rosters: Number(count ?? shape.rosters) })))
  lines.push(
    ...(await compareWithCbc(Number(count ?? compared.rosters))),
    ...(await published()),
    ...(await largeJob()),
  )
  const isFine = lines.map(met).every(Boolean)
  console.log(
    `load of this machine after: ${loadavg()
      .map((load) => load.toFixed(1))
      .join(' ')}`,
  )
  return isFine
}

const nameOf = ({ entries, candidates, offers }: Shape) =>
  `${entries} entries x ${candidates} candidates x ${offers} offers`

function rosterOf({ entries, candidates, offers }: Shape, place: number): Instance {
  const looksWorthMinor = worths[place % worths.length] ?? 0
  return roster({ entries, candidates, offers, looksWorthMinor, seed: 1 + Math.floor(place / worths.length) })
}

type Measured = { instance: Instance; result: PlanResult; wallMs: number; processorMs: number }

async function planAll(shape: Shape): Promise<Line[]> {
  const all: Measured[] = []
  for (let place = 0; place < shape.rosters; place++) all.push(await measured(rosterOf(shape, place)))
  const processor = all.map(({ processorMs }) => processorMs)
  const wall = all.map(({ wallMs }) => wallMs)
  const unproven = all.filter(({ result }) => !result.proven).length
  const withWorth = (worth: number) => all.filter(({ instance }) => instance.options.looksWorthMinor === worth)
  const name = nameOf(shape)
  return [
    { what: `${name}: ${all.length} rosters, not proven`, value: unproven, unit: '', goal: 0 },
    { what: '  median, processor time', value: quantileOf(processor, 0.5), unit: 'ms', goal: shape.medianMs },
    ...worths.map((worth): Line => {
      const times = withWorth(worth).map(({ processorMs }) => processorMs)
      return { what: `    of those with looks worth ${worth}`, value: quantileOf(times, 0.5), unit: 'ms' }
    }),
    {
      what: '  worst, processor time',
      value: Math.max(...processor),
      unit: 'ms',
      ...(shape.worstMs && { goal: shape.worstMs }),
    },
    { what: '  median, by the clock', value: quantileOf(wall, 0.5), unit: 'ms' },
    { what: '  worst, by the clock', value: Math.max(...wall), unit: 'ms' },
    { what: '  the first in its thread, processor time', value: processor[0] ?? Number.NaN, unit: 'ms' },
    ...savings(all),
  ]
}

async function measured(instance: Instance): Promise<Measured> {
  const [began, before] = [performance.now(), cpuMs()]
  const result = await startPlan(instance, { timeLimitS: 120 }).result
  return { instance, result, wallMs: performance.now() - began, processorMs: cpuMs() - before }
}

/** How much less the plans come to than naive ones, offers, printing and looks together. */
function savings(all: readonly Measured[]): Line[] {
  const shareOf = (name: 'cheapest' | 'greedyThenDrop') => {
    const shares = all.map(({ instance, result }) => {
      const { offersMinor, printMinor, looksMinor } = naivePlans(instance)[name].totals
      return 1 - result.objectiveMinor / (offersMinor + printMinor + looksMinor)
    })
    return 100 * quantileOf(shares, 0.5)
  }
  return [
    { what: '  cheaper than the cheapest file entry by entry, median', value: shareOf('cheapest'), unit: '%' },
    { what: '  cheaper than greedy + drop, median', value: shareOf('greedyThenDrop'), unit: '%' },
  ]
}

async function compareWithCbc(rosters: number): Promise<Line[]> {
  if (!hasCbc()) {
    console.log('no CBC here (Debian: apt-get install coinor-cbc): not compared')
    return []
  }
  const solver = await openSolver()
  // What compiling the solver takes is not what is compared.
  for (let place = 0; place < 4; place++) byHighs(solver, modelFor(rosterOf({ ...firstShape(), rosters: 0 }, place)))
  return shapes.flatMap((shape) => {
    const models = Array.from({ length: rosters }, (_, place) => modelFor(rosterOf(shape, place)))
    const ours = models.map((model) => byHighs(solver, model))
    const theirs = models.map((data) => solveByCbc(data, { gap: 0.99, limitS: compared.limitS }))
    const differing = theirs.filter(({ isOptimal, objective }, place) => {
      return isOptimal && Math.round(objective) !== Math.round(ours[place]?.objective ?? Number.NaN)
    })
    const total = (times: readonly { ms: number }[]) => times.reduce((sum, { ms }) => sum + ms, 0) / 1000
    const cbcS = total(theirs.map(({ cpuMs: ms }) => ({ ms })))
    return [
      { what: `${nameOf(shape)}: ${rosters} models, HiGHS in WebAssembly`, value: total(ours), unit: 's' },
      { what: '  native CBC, processor time', value: cbcS, unit: 's' },
      { what: '  CBC found no proof in time', value: theirs.filter(({ isOptimal }) => !isOptimal).length, unit: '' },
      { what: '  optima that differ', value: differing.length, unit: '', goal: 0 },
      { what: '  ratio, HiGHS in WebAssembly / native CBC', value: total(ours) / cbcS, unit: '' },
    ]
  })
}

function firstShape(): Shape {
  const [shape] = shapes
  if (!shape) throw new RangeError('no shapes')
  return shape
}

const modelFor = (instance: Instance) => modelOf(problemOf(usable(instance), instance.options), 0).data

function byHighs(solver: Solver, data: ReturnType<typeof modelFor>): { objective: number; ms: number } {
  const { result, ms } = timed(() => solve(solver, data, { until: performance.now() + 120_000, tolerance: 0.99 }))
  return { objective: result.objective, ms }
}

/** OR-Library's instances, solved like a roster. */
async function published(): Promise<Line[]> {
  const solver = await openSolver()
  const folder = new URL('../reference/facility-location/', import.meta.url)
  return [71, 72, 73, 74, 101, 102, 103, 104].map((number) => {
    const problem = parseOrLibrary(readFileSync(new URL(`cap${number}.txt`, folder), 'utf8'))
    const { ms } = timed(() =>
      solve(solver, modelOf(problem, 0).data, { until: performance.now() + 60_000, tolerance: 5e-4 }),
    )
    return { what: `OR-Library cap${number}`, value: ms, unit: 'ms' }
  })
}

/** A job that takes far more memory than the ones before, and what of it stays. */
async function largeJob(): Promise<Line[]> {
  const instance = roster({ entries: 150, candidates: 40, offers: 2500, looksWorthMinor: 0, seed: 1 })
  const withBudget = { ...instance, options: { ...instance.options, budgetMinor: 5000 } }
  const before = process.memoryUsage.rss()
  let most = 0
  const watch = setInterval(() => {
    most = Math.max(most, process.memoryUsage.rss())
  }, 50)
  await startPlan(withBudget, { timeLimitS: 15 }).result
  clearInterval(watch)
  // The thread ends after its answer.
  await new Promise((resolve) => setTimeout(resolve, 500))
  const after = process.memoryUsage.rss()
  return [
    { what: 'memory of this process before a large job', value: before / 1e6, unit: 'MB' },
    { what: '  at most while it ran', value: most / 1e6, unit: 'MB' },
    { what: '  half a second after its end', value: after / 1e6, unit: 'MB', goal: before / 1e6 + 50 },
  ]
}
