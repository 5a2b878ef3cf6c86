import type { Instance } from './instance.ts'
import type { NaivePlans } from './naive.ts'
import type { PlanResult, Progress } from './plan-result.ts'

/** What a thread is asked: a first answer, without any search, or the plan itself. */
export type ToWorker =
  | { work: 'first'; instance: Instance }
  | {
      work: 'plan'
      instance: Instance
      timeLimitMs: number
      /** one 32-bit number; 1 asks it to end with what it has */
      stopFlag: SharedArrayBuffer
    }

/** What it answers: any number of news, then one ending. */
export type FromWorker = News | Ending

export type News = { kind: 'progress'; progress: Progress } | { kind: 'better'; result: PlanResult }

/** Naive plans come with a first answer. */
export type Ending =
  | { kind: 'done'; result: PlanResult; naive?: NaivePlans; memoryBytes: number }
  | { kind: 'failed'; reason: string }
