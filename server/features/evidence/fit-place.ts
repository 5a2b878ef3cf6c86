import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
import { type FitSteps, FitWork } from './fit-work.ts'

/** A fit of so many reports takes so long, a tenth of a second, that nobody should wait for it on the thread that answers. */
const manyReports = 25

/** Where the steps of a fit are carried out: here while it is over in a blink, else on a thread of its own. */
export function fitPlace(reports: number, many = manyReports): FitSteps {
  return reports < many ? new FitWork() : stepsOnThread()
}

/** Sent to the thread: which step, and what it takes. */
export type Asked = { step: keyof FitSteps; given: unknown }
/** Sent back: what the step answers, or what went wrong. */
export type Told = { answer: unknown } | { error: unknown }

// The compiler renames what is imported, but not this.
const path = new URL(import.meta.url.endsWith('.ts') ? './fit-thread.ts' : './fit-thread.js', import.meta.url)

/**
 * What a fit passes through is short-lived, so that a young generation three times this size, which is the default, only
 * takes up more room: a million reports, 343 MB rather than 251 (`npm run bench -- fit`). V8 counts a young
 * generation as three of its halves, of 16 MB each.
 */
const maxYoungGenerationSizeMb = 48

/** The steps on a thread of their own, one at a time. What they take and answer is copied. */
function stepsOnThread(): FitSteps {
  const thread = new Worker(path, { resourceLimits: { maxYoungGenerationSizeMb } })
  const ask = async (step: Asked['step'], given?: unknown) => {
    thread.postMessage({ step, given } satisfies Asked)
    const [told] = (await once(thread, 'message')) as [Told]
    if ('error' in told) throw told.error
    return told.answer
  }
  return {
    add: (reports) => ask('add', reports) as ReturnType<FitSteps['add']>,
    fit: () => ask('fit') as ReturnType<FitSteps['fit']>,
    successesOf: (lines) => ask('successesOf', lines) as ReturnType<FitSteps['successesOf']>,
    nextPeriods: (most) => ask('nextPeriods', most) as ReturnType<FitSteps['nextPeriods']>,
    nextMessages: (most) => ask('nextMessages', most) as ReturnType<FitSteps['nextMessages']>,
    async end() {
      await thread.terminate()
    },
  }
}
