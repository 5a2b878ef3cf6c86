import { setPriority } from 'node:os'
import { parentPort } from 'node:worker_threads'
import type { Ending, FromWorker, ToWorker } from './messages.ts'
import { naivePlans } from './naive.ts'
import { planRoster } from './plan-roster.ts'
import { greedyPlan } from './search.ts'
import { openSolver, type Solver } from './solver.ts'

/** News of a running plan is sent no more often than this. */
const newsEveryMs = 250
/** Whoever waits for a page goes first. */
const niceness = 10

// On Linux this is about the calling thread alone, elsewhere about the whole service.
if (process.platform === 'linux') setPriority(niceness)

let solver: Promise<Solver> | undefined
parentPort?.on('message', (job: ToWorker) => void answer(job))

/** One job after the other: solving blocks this thread, and only the shared flag reaches it meanwhile. */
async function answer(job: ToWorker): Promise<void> {
  try {
    send(job.work === 'first' ? first(job) : await plan(job))
  } catch (error) {
    // The error itself could carry the solver's whole source text along.
    send({ kind: 'failed', reason: error instanceof Error ? error.message.slice(0, 300) : 'unknown' })
  }
}

function first({ instance }: ToWorker): Ending {
  return { kind: 'done', result: greedyPlan(instance), naive: naivePlans(instance), memoryBytes: 0 }
}

async function plan({ instance, timeLimitMs, stopFlag }: Extract<ToWorker, { work: 'plan' }>): Promise<Ending> {
  solver ??= openSolver()
  const loaded = await solver
  const flag = new Int32Array(stopFlag)
  const news = throttled()
  const result = planRoster(instance, {
    solver: loaded,
    until: performance.now() + timeLimitMs,
    isStopped: () => Atomics.load(flag, 0) === 1,
    onProgress: (progress) => news(() => send({ kind: 'progress', progress })),
    onBetter: (better) => send({ kind: 'better', result: better }),
  })
  return { kind: 'done', result, memoryBytes: loaded.memoryBytes }
}

function throttled(): (report: () => void) => void {
  let next = 0
  return (report) => {
    if (performance.now() < next) return
    next = performance.now() + newsEveryMs
    report()
  }
}

function send(message: FromWorker): void {
  parentPort?.postMessage(message)
}
