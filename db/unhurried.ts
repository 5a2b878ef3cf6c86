import { setImmediate as letOthers } from 'node:timers/promises'
import type { KyselyPlugin } from 'kysely'

/**
 * After each statement other requests have their turn: the embedded database answers within this thread, and by itself
 * leaves them none before the last one that anybody has asked.
 */
export const unhurried: KyselyPlugin = {
  transformQuery: ({ node }) => node,
  transformResult: async ({ result }) => {
    await letOthers()
    return result
  },
}
