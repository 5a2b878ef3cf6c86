import { Worker } from 'node:worker_threads'
import type { Ending, FromWorker, News, ToWorker } from './messages.ts'

export interface Job {
  readonly task: ToWorker
  onStart(): void
  /** never after `onEnd` */
  onNews(news: News): void
  /** once, unless the job is aborted */
  onEnd(ending: Ending): void
}

/** Beyond this a thread's memory is given back by ending it, since WebAssembly's never shrinks. */
const largeBytes = 64 * 2 ** 20
/** A thread that nobody needed for so long is ended. */
const idleMs = 60_000

/**
 * Threads with a solver each. They start when needed, wait for the next job, and never keep the process alive. Our own,
 * since piscina 5.3 leaves whoever waits without a thread when the running job is aborted or its thread dies, and can't
 * tell when a job begins nor end a thread for its memory.
 */
export class SolverThreads {
  readonly #script: URL
  readonly #most: number
  readonly #idle = new Map<Worker, NodeJS.Timeout>()
  readonly #waiting: Job[] = []
  readonly #running = new Map<Job, Worker>()

  /**
   * @param script what runs in each thread
   * @param most jobs at once; others wait
   */
  constructor(script: URL, most = 2) {
    this.#script = script
    this.#most = most
  }

  /** Threads that are working or waiting for work. */
  get size(): number {
    return this.#idle.size + this.#running.size
  }

  run(job: Job): void {
    if (this.#running.size >= this.#most) this.#waiting.push(job)
    else this.#start(job)
  }

  /** Ends a job at once, its thread with it. */
  abort(job: Job): void {
    const place = this.#waiting.indexOf(job)
    if (place >= 0) this.#waiting.splice(place, 1)
    const worker = this.#running.get(job)
    if (worker) this.#discard(job, worker)
  }

  #start(job: Job): void {
    let worker: Worker
    try {
      worker = this.#idle.keys().next().value ?? new Worker(this.#script)
    } catch (error) {
      job.onEnd({ kind: 'failed', reason: messageOf(error) })
      return
    }
    clearTimeout(this.#idle.get(worker))
    this.#idle.delete(worker)
    this.#running.set(job, worker)
    worker.removeAllListeners()
    worker.ref()
    worker.on('message', (message: FromWorker) => this.#hear(job, worker, message))
    worker.on('error', (error) => this.#fail(job, worker, messageOf(error)))
    worker.on('exit', (code) => this.#fail(job, worker, `its thread ended with code ${code}`))
    job.onStart()
    worker.postMessage(job.task)
  }

  #hear(job: Job, worker: Worker, message: FromWorker): void {
    if (this.#running.get(job) !== worker) return
    if (message.kind === 'failed') this.#fail(job, worker, message.reason)
    else if (message.kind === 'done') {
      if (message.memoryBytes > largeBytes) this.#discard(job, worker)
      else this.#rest(job, worker)
      job.onEnd(message)
    } else job.onNews(message)
  }

  #fail(job: Job, worker: Worker, reason: string): void {
    if (this.#running.get(job) !== worker) return
    this.#discard(job, worker)
    job.onEnd({ kind: 'failed', reason })
  }

  #rest(job: Job, worker: Worker): void {
    this.#running.delete(job)
    worker.removeAllListeners()
    worker.on('error', () => this.#idle.delete(worker))
    worker.on('exit', () => this.#idle.delete(worker))
    worker.unref()
    this.#idle.set(worker, setTimeout(() => this.#end(worker), idleMs).unref())
    this.#next()
  }

  #discard(job: Job, worker: Worker): void {
    this.#running.delete(job)
    this.#end(worker)
    this.#next()
  }

  #end(worker: Worker): void {
    this.#idle.delete(worker)
    worker.removeAllListeners()
    // What a dying thread still has to say interests nobody.
    worker.on('error', () => undefined)
    void worker.terminate()
  }

  #next(): void {
    const job = this.#waiting.shift()
    if (job) this.run(job)
  }
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message.slice(0, 300) : 'unknown'
}
