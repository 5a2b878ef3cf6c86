import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { registerHooks } from 'node:module'
import { fileURLToPath } from 'node:url'

/**
 * Breaks the planning in six ways, one at a time, and sees whether the brute force notices: `npm run mutations`. The
 * files stay as they are; a broken one is handed to a process of its own as it loads. Fails when one is not caught.
 */
type Mutation = { name: string; file: string; from: string; to: string }

const mutations: Mutation[] = [
  {
    name: 'budget row dropped',
    file: 'model.ts',
    from: 'rows.row(Number.NEGATIVE_INFINITY, budget, spent)',
    to: 'rows.row(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, spent)',
  },
  {
    name: 'minimum share ignored',
    file: 'filters.ts',
    from: 'share >= minShare',
    to: 'share >= Math.min(0, minShare)',
  },
  { name: 'snag filter off', file: 'filters.ts', from: '!(options.avoidBlocked && blocked)', to: 'true' },
  { name: 'wrong pruning price', file: 'prune.ts', from: 'way.cost + price', to: 'way.cost' },
  {
    name: 'pruning that ignores the budget',
    file: 'prune.ts',
    from: '&& (problem.budget === undefined || price === 0)',
    to: '',
  },
  {
    name: 'more than one theme',
    file: 'model.ts',
    from: 'rows.row(0, 1, ones(t))',
    to: 'rows.row(0, t.length, ones(t))',
  },
]

const planning = new URL('../../server/planning/', import.meta.url)
const applied = mutations.find(({ name }) => name === process.env.MUTATION)
if (applied) apply(applied)
else if (import.meta.main) tryAll()

/** Within the process that has to notice: the file is changed as it is loaded. */
function apply({ file, from, to }: Mutation): void {
  const target = new URL(file, planning).href
  registerHooks({
    load(url, context, next) {
      const loaded = next(url, context)
      return url === target ? { ...loaded, source: String(loaded.source).replace(from, to) } : loaded
    },
  })
}

function tryAll(): void {
  const rosters = process.argv[2] ?? '500'
  const sound = run(rosters)
  console.log(`as it is: ${sound.text}`)
  if (sound.status !== 0) process.exitCode = 1
  for (const mutation of mutations) {
    checkThere(mutation)
    const { status, text } = run(rosters, mutation.name)
    console.log(`${mutation.name}: ${status === 0 ? 'NOT CAUGHT' : 'caught'}, ${text}`)
    if (status === 0) process.exitCode = 1
  }
}

function run(rosters: string, mutation?: string): { status: number; text: string } {
  const script = fileURLToPath(new URL('run-brute-force.ts', import.meta.url))
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--import', import.meta.url, script, rosters], {
    encoding: 'utf8',
    env: { ...process.env, MUTATION: mutation ?? '' },
  })
  const text = stdout.trim().split('\n').at(-1)
  if (!text || status === null || status > 1) throw new Error(`the brute force broke down: ${stderr}`)
  return { status, text }
}

/** A mutation of something that has been rewritten since would mutate nothing. */
function checkThere({ name, file, from }: Mutation): void {
  const found = readFileSync(new URL(file, planning), 'utf8').split(from).length - 1
  if (found !== 1) throw new Error(`${name}: ${file} has ${found} times what is to be changed`)
}
