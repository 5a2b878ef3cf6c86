import type { KyselyPlugin } from 'kysely'
import type { Db } from '../../db/connect.ts'

/** The same database, and how many statements are asked through it; those of transactions included. */
export function counting(db: Db): { db: Db; count(): number } {
  let statements = 0
  const plugin: KyselyPlugin = {
    // Asked for parts of a statement, too; a result comes once.
    transformQuery: ({ node }) => node,
    transformResult: async ({ result }) => {
      statements++
      return result
    },
  }
  return { db: db.withPlugin(plugin), count: () => statements }
}
