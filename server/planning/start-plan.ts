import { checkInstance } from './check-instance.ts'
import type { Instance } from './instance.ts'
import type { Ending, News, ToWorker } from './messages.ts'
import { type NaivePlans, naivePlans } from './naive.ts'
import type { PlanResult, Progress } from './plan-result.ts'
import { greedyPlan } from './search.ts'
import { type Job, SolverThreads } from './solver-threads.ts'

export type PlanOptions = {
  /** for the whole plan, however many solves it takes; 10 if left out */
  timeLimitS?: number
  onProgress?: (progress: Progress) => void
  /** the best so far whenever there is a better one, not proven and perhaps without a bound */
  onBetter?: (result: PlanResult) => void
  /** the greedy plan, where it is known already */
  known?: PlanResult
  threads?: SolverThreads
}

export type RunningPlan = {
  /** never rejects: where the solver fails, it is the best plan known by then, with what went wrong */
  result: Promise<PlanResult>
  /** ends it with the best plan so far */
  stop: () => void
}

/** The solver sees a stop or the time limit between two steps of its own; after so long it is ended from outside. */
const graceMs = 2000

/** As source, or compiled. */
const script = new URL(import.meta.url.endsWith('.ts') ? './worker.ts' : './worker.js', import.meta.url)
const sharedThreads = new SolverThreads(script)

/**
 * Plans a roster in a thread of its own, to a proven optimum if the time allows. While more plans run than there are
 * threads, this one waits; its time begins when it starts. Without any time it is the greedy plan.
 *
 * @throws RangeError when the instance makes no sense
 */
export function startPlan(instance: Instance, options: PlanOptions = {}): RunningPlan {
  const { timeLimitS = 10, threads = sharedThreads } = options
  if (!(timeLimitS > 0)) return { result: Promise.resolve(greedyPlan(instance)), stop: () => undefined }
  checkInstance(instance)
  const plan = new PlanJob(instance, 1000 * timeLimitS, threads, options)
  threads.run(plan)
  return { result: plan.result, stop: () => plan.stop() }
}

/** What there is to show before any search. */
export type FirstAnswer = { greedy: PlanResult; naive: NaivePlans }

/** They take no solver and hardly any time, and do not wait for those that do. */
const firstThreads = new SolverThreads(script, 1)
/** With no more candidates than this the first answer takes some tens of milliseconds at most, less than starting a thread. */
const mostHere = 2000

/**
 * Works the greedy plan and the naive ones out: here, or in a thread of its own for a large roster, since that takes
 * longer than other requests should wait. Where the thread dies it is done here all the same.
 *
 * @throws RangeError when the instance makes no sense
 */
export function firstAnswer(instance: Instance, ofOwn?: SolverThreads): Promise<FirstAnswer> {
  checkInstance(instance)
  const threads = ofOwn ?? (instance.candidates.length > mostHere ? firstThreads : undefined)
  const here = () => ({ greedy: greedyPlan(instance), naive: naivePlans(instance) })
  if (!threads) return Promise.resolve(here())
  const { promise, resolve } = Promise.withResolvers<FirstAnswer>()
  threads.run({
    task: { work: 'first', instance },
    onStart: () => undefined,
    onNews: () => undefined,
    onEnd(ending) {
      if (ending.kind === 'done' && ending.naive) resolve({ greedy: ending.result, naive: ending.naive })
      else resolve(here())
    },
  })
  return promise
}

class PlanJob implements Job {
  readonly task: Extract<ToWorker, { work: 'plan' }>
  readonly result: Promise<PlanResult>
  readonly #threads: SolverThreads
  readonly #tell: Pick<PlanOptions, 'onProgress' | 'onBetter'>
  readonly #resolve: (result: PlanResult) => void
  readonly #begun = performance.now()
  #isRunning = false
  #best: PlanResult | undefined
  #timer: NodeJS.Timeout | undefined

  constructor(instance: Instance, timeLimitMs: number, threads: SolverThreads, tell: PlanOptions) {
    this.task = { work: 'plan', instance, timeLimitMs, stopFlag: new SharedArrayBuffer(4) }
    this.#threads = threads
    this.#tell = tell
    this.#best = tell.known
    const { promise, resolve } = Promise.withResolvers<PlanResult>()
    this.result = promise
    this.#resolve = resolve
  }

  onStart(): void {
    this.#isRunning = true
    this.#endAfter(this.task.timeLimitMs + graceMs, 'time limit')
  }

  onNews(news: News): void {
    if (news.kind === 'progress') this.#tell.onProgress?.(news.progress)
    else {
      this.#best = news.result
      this.#tell.onBetter?.(news.result)
    }
  }

  onEnd(ending: Ending): void {
    if (ending.kind === 'failed') this.#finish('failed', `the solver failed: ${ending.reason}`)
    else {
      this.#best = ending.result
      this.#finish(ending.result.ended)
    }
  }

  stop(): void {
    Atomics.store(new Int32Array(this.task.stopFlag), 0, 1)
    this.#endAfter(this.#isRunning ? graceMs : 0, 'stopped')
  }

  #endAfter(ms: number, ended: PlanResult['ended']): void {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => {
      this.#threads.abort(this)
      this.#finish(ended)
    }, ms)
  }

  /** What comes after the first time changes nothing. */
  #finish(ended: PlanResult['ended'], failure?: string): void {
    clearTimeout(this.#timer)
    const best = this.#best ?? greedyPlan(this.task.instance)
    const ms = performance.now() - this.#begun
    this.#resolve({ ...best, ended, ms, ...(failure === undefined ? {} : { failure }) })
  }
}
