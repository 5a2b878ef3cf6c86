import type { Instance } from './instance.ts'
import type { PlanResult, Progress } from './plan-result.ts'

/** What a solver's thread is asked. */
export type ToWorker = {
  instance: Instance
  timeLimitMs: number
  /** one 32-bit number; 1 asks it to end with what it has */
  stopFlag: SharedArrayBuffer
}

/** What it answers: any number of news, then one ending. */
export type FromWorker = News | Ending

export type News = { kind: 'progress'; progress: Progress } | { kind: 'better'; result: PlanResult }

export type Ending = { kind: 'done'; result: PlanResult; memoryBytes: number } | { kind: 'failed'; reason: string }
