import { readFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { greedyThenDrop } from '../planning/greedy.ts'
import { reduced } from '../planning/lagrange.ts'
import { modelOf } from '../planning/model.ts'
import { isBetter, type Problem, serve } from '../planning/problem.ts'
import { openSolver, solve } from '../planning/solver.ts'
import { Malformed, orRefused } from './malformed.ts'
import { parseOrLibrary } from './or-library.ts'

const usage = 'usage: plan-instance FILE [--limit SECONDS]'

/** Published optima have three decimals; half a unit of the last one is not worth looking for. */
const tolerance = 0.0005

/** Solves a facility location instance, without any roster, and prints what comes out as JSON. */
async function main(): Promise<void> {
  const { file, limitS } = readArguments()
  const problem = readInstance(file)
  const started = performance.now()
  const { objective, proven, bound } = await solved(problem, started + 1000 * limitS)
  const ms = Math.round(10 * (performance.now() - started)) / 10
  console.log(JSON.stringify({ objective, proven, bound, ms }))
}

async function solved(problem: Problem, until: number) {
  const { best: known, bound: lower, ways } = reduced(problem, greedyThenDrop(problem), until)
  const isOver = performance.now() >= until || known.objective - lower <= tolerance
  const found = isOver ? undefined : await solveWhole({ ...problem, ways }, until)
  const best = found?.solution && isBetter(found.solution, known) ? found.solution : known
  const bound = Math.max(0, lower, found?.bound ?? 0)
  return {
    objective: toMicro(best.objective),
    proven: found?.status === 'optimal' || best.objective - bound <= tolerance,
    bound: toMicro(Math.min(bound, best.objective)),
  }
}

async function solveWhole(problem: Problem, until: number) {
  const { data, openOffers } = modelOf(problem, 0)
  const { status, values, bound } = solve(await openSolver(), data, { until, tolerance })
  return { status, bound, ...(values ? { solution: serve(problem, openOffers(values)) } : {}) }
}

/** Without the last digits of sums of decimals in binary. */
function toMicro(value: number): number {
  return Math.round(1e6 * value) / 1e6
}

function readArguments(): { file: string; limitS: number } {
  try {
    const options = { limit: { type: 'string', default: '600' } } as const
    const { values, positionals } = parseArgs({ options, allowPositionals: true })
    const [file, ...others] = positionals
    const limitS = Number(values.limit)
    if (file === undefined || others.length > 0 || !(limitS >= 0) || values.limit === '') throw new Malformed(usage)
    return { file, limitS }
  } catch (error) {
    throw error instanceof Malformed ? error : new Malformed(usage)
  }
}

function readInstance(file: string): Problem {
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch {
    throw new Malformed(`${file}: cannot be read`)
  }
  try {
    return parseOrLibrary(text)
  } catch (error) {
    throw error instanceof Malformed ? new Malformed(`${file}: ${error.message}`) : error
  }
}

await orRefused(main)
