import { type KyselyPlugin, PostgresQueryCompiler, type RootOperationNode } from 'kysely'
import type { Db } from '../../db/connect.ts'

const names = new WeakMap<object, string>()
let count = 0

/** A statement that was built before it was counted has no text here; it is the same one whenever it comes again. */
function nameOf(queryId: object): string {
  const name = names.get(queryId) ?? `built before, ${++count}`
  names.set(queryId, name)
  return name
}

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
      statements.push(node ? compiler.compileQuery(node, queryId).sql.replace(/\s+/g, ' ') : nameOf(queryId))
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
