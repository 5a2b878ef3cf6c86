import { mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import type { PGlite } from '@electric-sql/pglite'
import { CamelCasePlugin, type Dialect, Kysely, type KyselyPlugin, PGliteDialect, PostgresDialect } from 'kysely'
import { Pool } from 'pg'
import { holdFolder } from './folder-lock.ts'
import { askByName } from './often.ts'
import { embeddedReadiness, serverReadiness } from './ready.ts'
import type { Tables } from './tables.ts'
import { unhurried } from './unhurried.ts'
import { parsers, pgParsers } from './values.ts'

/** The database, or a transaction on it: queries take either. */
export type Db = Kysely<Tables>

export interface OpenDatabase {
  db: Db
  kind: 'postgresql' | 'embedded'
  /** For a library that brings its own queries: where the server is, or the embedded database itself. */
  access: { url: string } | { pglite: PGlite }
  /** Whether it can be read and written just now. Never waits for others' writes. @throws what a query would */
  ready(): Promise<void>
  /** Waits for what runs, then lets go of connections, files and the folder's lock. Calling it twice does no harm. */
  close(): Promise<void>
}

/** Where the data are. A `url` wins over a folder. */
export interface Place {
  url?: string | undefined
  /** Folder of the embedded database, made when missing; `memory` keeps nothing. */
  dataDir?: string | undefined
}

/**
 * Opens PostgreSQL at `url`, or else the embedded database in `dataDir`. Values come out alike (values.ts).
 * PostgreSQL is only reached by the first query.
 *
 * @throws FolderInUse when another process has the folder open
 */
export async function openDatabase({ url, dataDir }: Place): Promise<OpenDatabase> {
  if (url) return opened({ kind: 'postgresql', access: { url } }, new PostgresDialect({ pool: openPool(url) }), [])
  if (!dataDir) throw new TypeError('a database needs a url or a folder')
  if (dataDir === 'memory') return embedded(await startEmbedded('memory://'), () => {})

  const folder = join(dataDir, 'database')
  // PGlite makes its files readable to everybody, so the folder is closed to others
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const release = holdFolder(dataDir)
  try {
    return embedded(await startEmbedded(folder), release, folder)
  } catch (error) {
    release()
    throw error
  }
}

/**
 * Runs `work` in the transaction that `db` already is, or else in a new one. Inside `work` every query has to go
 * through the transaction: on the embedded database, which has a single connection, any other would wait for ever.
 */
export function inTransaction<Result>(db: Db, work: (transaction: Db) => Promise<Result>): Promise<Result> {
  return db.isTransaction ? work(db) : db.transaction().execute(work)
}

function embedded(pglite: PGlite, release: () => void, folder?: string): OpenDatabase {
  const ready = embeddedReadiness(pglite, folder)
  const which = { kind: 'embedded', access: { pglite } } as const
  return opened(which, new PGliteDialect({ pglite }), [unhurried], ready, async () => {
    // Kysely closes it too, but only if a query has been run
    if (!pglite.closed) await pglite.close()
    release()
  })
}

function opened(
  which: Pick<OpenDatabase, 'kind' | 'access'>,
  dialect: Dialect,
  plugins: KyselyPlugin[],
  ready?: () => Promise<void>,
  release = async () => {},
): OpenDatabase {
  const names = new CamelCasePlugin({ maintainNestedObjectKeys: true })
  const db = new Kysely<Tables>({ dialect, plugins: [names, ...plugins] })
  let closing: Promise<void> | undefined
  return {
    db,
    ...which,
    ready: ready ?? serverReadiness(db),
    close() {
      closing ??= db.destroy().finally(release)
      return closing
    },
  }
}

/** Its program is large, and nobody with a server of their own needs it. */
async function startEmbedded(location: string): Promise<PGlite> {
  const { PGlite } = await import('@electric-sql/pglite')
  const { pg_trgm } = await import('@electric-sql/pglite/contrib/pg_trgm')
  const { unaccent } = await import('@electric-sql/pglite/contrib/unaccent')
  const pglite = new PGlite(location, { extensions: { pg_trgm, unaccent }, parsers })
  await pglite.waitReady
  await pglite.exec("set timezone = 'UTC'")
  return pglite
}

function openPool(url: string): Pool {
  const pool = new Pool({
    connectionString: url,
    types: pgParsers,
    max: 10,
    connectionTimeoutMillis: 5_000,
    keepAlive: true,
    // A resting connection that a router on the way has forgotten would leave the next statement without an answer.
    keepAliveInitialDelayMillis: 60_000,
    // A connection that is let go takes its plans with it, and the next one makes each of them five times over.
    idleTimeoutMillis: 600_000,
    // Sent as statements, since a connection pooler in between may refuse them as start-up parameters.
    onConnect: async (client) => {
      askByName(client)
      await client.query(
        "set timezone = 'UTC'; set statement_timeout = '30s'; set idle_in_transaction_session_timeout = '60s'",
      )
    },
  })
  // A connection lost while nobody waits on it is an `error` event, which would end the process if nobody listened.
  // The pool has dropped it by then and opens another for the next query, which tells if the server is really away.
  pool.on('error', () => {})
  // The same for a client that is between two statements of a transaction: pg-pool does not listen on that one.
  pool.on('connect', (client) => client.on('error', () => {}))
  return pool
}
