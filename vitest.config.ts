import { defineConfig } from 'vitest/config'
import { chromiumAt } from './test/e2e/chromium.ts'

const chromium = chromiumAt()
if (!chromium && process.env.E2E === 'required') throw new Error('E2E=required, but there is no Chromium: set CHROMIUM')
if (!chromium) console.warn('No Chromium here (CHROMIUM, /usr/bin/chromium): test/e2e is skipped.')

// For all processes and threads that come of this one.
const evenly = new URL('test/support/evenly.mjs', import.meta.url).href
process.env.NODE_OPTIONS = `${process.env.NODE_OPTIONS ?? ''} --import=${evenly}`.trim()

const longPlans = [
  'test/features/rosters/rosters-running.test.ts',
  'test/hostile/killed-plan.test.ts',
  'test/planning/start-plan.test.ts',
]
const withoutDatabase = [
  'test/{scoring,planning,support,web,reference}/**/*.test.{ts,tsx}',
  'test/commands/{fit,plan-instance,read-files}.test.ts',
  'test/features/**/{discreet,rosters-parse,security}.test.ts',
  'test/hostile/{growth,heavy-pictures,like-names}.test.ts',
  'test/db/folder-lock.test.ts',
  'test/http/{browser,form-fields}.test.ts',
  'test/jobs/due.test.ts',
]
/**
 * Needs a database, whichever: words, doors and figures made of rows that other files ask for as well. `TEST_SCOPE=database`
 * leaves it out, as CI does on the second database; each query is asked there all the same, by test/hostile/matrix.test.ts.
 */
const onAnyDatabase = [
  'test/hostile/{bad-request,compose,crowd-of-pictures,demo,fuzz,guessing,origin,secrets,settings,stop,wire}.test.ts',
  'test/http/{form,origin,write-limits}.test.ts',
  'test/features/{statements,catalogue/{files-pages,unnamed,wall}}.test.ts',
  'test/features/overview/{help,operations,signposts,told-alike}.test.ts',
  'test/features/people/{own-sessions,sessions,settings,sign-in-tries,weak-passwords}.test.ts',
  'test/features/printing/{chances,picture-base,picture-stores,pictures,plate-pages,report-pages,verdict,verdict-words}.test.ts',
  'test/features/requests/said-and-charged.test.ts',
  'test/features/rosters/{demo-roster,one-price,rosters-army,rosters-counting,rosters-pages,rosters-remember,rosters-running,rosters-spend}.test.ts',
  'test/features/evidence/stored-json.test.ts',
  'test/planning/start-plan.test.ts',
]
/** Takes long: attacks, jobs, large samples, and what draws or plans much. `TEST_SCOPE=quick` leaves it out (`npm run test:quick`). */
const slow = [
  'test/{hostile,jobs}/**',
  'test/commands/{fit,plan-instance,way-back}.test.ts',
  'test/scoring/{blame,calibration,hard-numbers,hyper-steps,one-set-one-printer,seen-table}.test.ts',
  'test/planning/{brute-force,model,properties}.test.ts',
  'test/web/mesh/{formats,hostile,mid-air}.test.ts',
  'test/db/{demo,folder-lock,plates-migration}.test.ts',
  'test/features/evidence/{evidence,fitting,stored-json}.test.ts',
  'test/features/people/sign-in-race.test.ts',
  'test/features/printing/pictures.test.ts',
  'test/features/requests/said-and-charged.test.ts',
  'test/features/rosters/{rosters-remember,rosters-spend}.test.ts',
]
const leftOut = { database: onAnyDatabase, quick: slow }[process.env.TEST_SCOPE ?? ''] ?? []
/** Finds the run's database, and makes the template of which each file takes copies. */
const globalSetup = 'test/support/global-setup.ts'

/** Needs no database, so CI runs it once only. */
const computation = { name: 'computation', include: withoutDatabase, exclude: [...longPlans, ...leftOut] }
const service = {
  name: 'service',
  globalSetup,
  include: ['test/**/*.test.{ts,tsx}'],
  exclude: ['test/e2e/**', ...withoutDatabase, ...longPlans, ...leftOut],
}
/** Last and one file at a time: each keeps a processor busy in a thread of its own, and has a minute for it. */
const patient = {
  name: 'patient',
  globalSetup,
  include: longPlans,
  exclude: leftOut,
  // Each ends threads of its own.
  isolate: true,
  fileParallelism: false,
  sequence: { groupOrder: 2 },
}
/** After the rest and one file at a time, since each drives a browser and waits for it. */
const endToEnd = {
  name: 'e2e',
  globalSetup,
  include: ['test/e2e/**/*.test.{ts,tsx}'],
  fileParallelism: false,
  sequence: { groupOrder: 1 },
}

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    environment: 'node',
    // What hangs has to end at last. None of them says how fast anything is: a busy machine takes many times as long.
    testTimeout: 600_000,
    hookTimeout: 600_000,
    teardownTimeout: 60_000,
    expect: { poll: { timeout: 600_000 } },
    maxWorkers: 2,
    // A worker opens and closes dozens of embedded databases. V8 at times aborts (SIGTRAP) as it frees their WebAssembly
    // code (nodejs/node#64500), so here it keeps it.
    execArgv: ['--no-wasm-code-gc'],
    // Files that follow each other share what they import: it takes longer to load than most of them to run.
    isolate: false,
    projects: [computation, service, ...(chromium ? [endToEnd] : []), patient].map((test) => ({
      extends: true as const,
      test,
    })),
  },
})
