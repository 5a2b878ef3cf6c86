import { setTimeout as sleep } from 'node:timers/promises'

const leastPauseMs = 20
/** What is slow to answer is asked less often, or nothing would be left for what is waited for. */
const pausesPerAsking = 9

/**
 * Waits until something is so, however long that takes on a busy machine; where it never is, the test's own limit ends it.
 *
 * @param what asked again and again; an error that it throws counts as not yet
 * @returns what it gave when it was true at last
 */
export async function until<Found>(
  what: () => Promise<Found> | Found,
): Promise<Exclude<Found, false | null | undefined>> {
  for (;;) {
    const asked = performance.now()
    const found = await Promise.resolve()
      .then(what)
      .catch(() => undefined)
    if (found) return found as Exclude<Found, false | null | undefined>
    await sleep(Math.max(leastPauseMs, pausesPerAsking * (performance.now() - asked)))
  }
}
