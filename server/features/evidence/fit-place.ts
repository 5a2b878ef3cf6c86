import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
import type { FitSteps } from './fit-work.ts'

/** Sent to the thread: which step, and what it takes. What the step answers is sent back. */
export type Asked = { step: keyof FitSteps; given: unknown }

// The compiler renames what is imported, but not this.
const path = new URL(import.meta.url.endsWith('.ts') ? './fit-thread.ts' : './fit-thread.js', import.meta.url)

/** What a fit passes through is short-lived: a larger young generation, which is the default, only takes more room. */
const maxYoungGenerationSizeMb = 48

/**
 * The steps of a fit on a thread of their own, one at a time. What they take and answer is copied. No pool (piscina), since
 * that replaces a thread that died by one that knows nothing of the steps before.
 */
export function fitPlace(): FitSteps {
  // Flags of this process are not handed on: those of `node -e`, for one, would keep the thread from starting.
  const thread = new Worker(path, { execArgv: [], resourceLimits: { maxYoungGenerationSizeMb } })
  let broken: unknown
  thread.on('error', (error) => {
    broken = error
  })
  const ask = async (step: Asked['step'], given?: unknown): Promise<never> => {
    if (broken) throw broken
    thread.postMessage({ step, given } satisfies Asked)
    // Throws what went wrong on the thread.
    const [answer] = await once(thread, 'message')
    // What each step answers is for `FitWork` to say.
    return answer as never
  }
  return {
    add: (plates) => ask('add', plates),
    fit: (longer) => ask('fit', longer),
    next: () => ask('next'),
    end: () => thread.terminate(),
  }
}
