import { setImmediate as letOthers } from 'node:timers/promises'
import type { Db } from '../../../../db/connect.ts'

/**
 * The database for what takes many queries: after each of them other requests have their turn. The embedded database
 * answers within this thread and by itself leaves them none before the last one.
 */
export const unhurried = (db: Db): Db =>
  db.withPlugin({
    transformQuery: ({ node }) => node,
    transformResult: async ({ result }) => {
      await letOthers()
      return result
    },
  })
