import { parentPort } from 'node:worker_threads'
import type { FromWorker, ToWorker } from './messages.ts'
import type { PlanResult } from './plan-result.ts'
import { planRoster } from './plan-roster.ts'
import { openSolver } from './solver.ts'

/** News of a running plan is sent no more often than this. */
const newsEveryMs = 250

const solver = openSolver()
parentPort?.on('message', (job: ToWorker) => void answer(job))

/** One plan after the other: solving blocks this thread, and only the shared flag reaches it meanwhile. */
async function answer(job: ToWorker): Promise<void> {
  try {
    const result = await plan(job)
    send({ kind: 'done', result, memoryBytes: (await solver).memoryBytes })
  } catch (error) {
    // The error itself could carry the solver's whole source text along.
    send({ kind: 'failed', reason: error instanceof Error ? error.message.slice(0, 300) : 'unknown' })
  }
}

async function plan({ instance, timeLimitMs, stopFlag }: ToWorker): Promise<PlanResult> {
  const loaded = await solver
  const flag = new Int32Array(stopFlag)
  const news = throttled()
  return planRoster(instance, {
    solver: loaded,
    until: performance.now() + timeLimitMs,
    isStopped: () => Atomics.load(flag, 0) === 1,
    onProgress: (progress) => news(() => send({ kind: 'progress', progress })),
    onBetter: (result) => send({ kind: 'better', result }),
  })
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
