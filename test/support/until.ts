import { setTimeout as sleep } from 'node:timers/promises'

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
    const found = await Promise.resolve()
      .then(what)
      .catch(() => undefined)
    if (found) return found as Exclude<Found, false | null | undefined>
    await sleep(20)
  }
}
