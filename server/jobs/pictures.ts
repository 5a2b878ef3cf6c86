import { setTimeout as sleep } from 'node:timers/promises'
import { type Kept, sweepGone } from '../features/printing/pictures/keeping.ts'

const everyMs = 15_000

/** Removes the bytes of pictures soon after their rows, until it is told to stop; what fails is tried again. */
export async function watchForGone(kept: Kept, signal: AbortSignal): Promise<void> {
  while (!signal.aborted) {
    await sweepGone(kept).catch(() => {})
    await sleep(everyMs, undefined, { signal, ref: false }).catch(() => {})
  }
}
