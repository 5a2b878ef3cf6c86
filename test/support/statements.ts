import { type KyselyPlugin, PostgresQueryCompiler, type RootOperationNode } from 'kysely'
import type { Db } from '../../db/connect.ts'

/**
 * The same database, and what is asked through it; statements of transactions included, but not their beginnings and
 * ends, which Kysely sends by another way.
 */
export function counting(db: Db): { db: Db; count(): number; sent(): string[]; reset(): void } {
  const nodes = new WeakMap<object, RootOperationNode>()
  const compiler = new PostgresQueryCompiler()
  let statements: string[] = []
  const plugin: KyselyPlugin = {
    // Asked for parts of a statement, too; a result comes once.
    transformQuery: ({ node, queryId }) => {
      nodes.set(queryId, node)
      return node
    },
    transformResult: async ({ result, queryId }) => {
      const node = nodes.get(queryId)
      statements.push(node ? compiler.compileQuery(node, queryId).sql.replace(/\s+/g, ' ') : '')
      return result
    },
  }
  return {
    db: db.withPlugin(plugin),
    count: () => statements.length,
    sent: () => statements,
    reset: () => {
      statements = []
    },
  }
}
