import { sql } from 'kysely'
import { v7 } from 'uuid'
import { z } from 'zod'
import type { Db } from '../../../db/connect.ts'
import { uniqueViolation } from '../../../db/failures.ts'
import { isSteward } from '../../http/access.ts'
import { wordsOf } from '../../http/fields.ts'
import { cutPage, type Page, readCursor } from '../../http/paging.ts'
import { conflict, notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { expectVersion } from '../../http/version.ts'
import type { ChangedSculptor, NewFile, Sculptor } from './schema.ts'

/** Sculptors that the viewer may know of: for stewards all, for others those who may be named. */
const sculptors = (db: Db, viewer: Viewer) =>
  db
    .selectFrom('sculptor')
    .select(['sculptor.id', 'name', 'credit', 'sculptor.createdAt', 'sculptor.version'])
    .select((eb) =>
      eb
        .selectFrom('file')
        .select((inner) => inner.fn.countAll<number>().as('files'))
        .whereRef('file.sculptorId', '=', 'sculptor.id')
        .as('files'),
    )
    .$if(!isSteward(viewer), (query) => query.where('credit', '=', 'named'))

type Row = Awaited<ReturnType<ReturnType<typeof sculptors>['executeTakeFirstOrThrow']>>

const shown = (row: Row): Sculptor => ({ ...row, files: row.files ?? 0, createdAt: row.createdAt.toISOString() })

const likeness = 0.35

/** A page of the sculptors: by name, or the nearest first when something is looked for. */
export async function listSculptors(
  db: Db,
  viewer: Viewer,
  { limit, after, q }: { limit: number; after?: string | undefined; q?: string | undefined },
): Promise<Page<Sculptor>> {
  const words = wordsOf(q)
  if (words) {
    const near = sql<number>`word_similarity(plain(${words}), plain(sculptor.name))`
    const found = await sculptors(db, viewer)
      .where((eb) => eb(near, '>=', likeness))
      .orderBy(near, 'desc')
      .orderBy('name')
      .limit(limit)
      .execute()
    return { items: found.map(shown), next: null }
  }
  const cursor = readCursor(after, z.tuple([z.string(), z.uuid()]))
  const rows = await sculptors(db, viewer)
    .$if(cursor !== undefined, (query) =>
      query.where(sql<boolean>`(plain(sculptor.name), sculptor.id) > (${cursor?.[0]}, ${cursor?.[1]})`),
    )
    .select(sql<string>`plain(sculptor.name)`.as('plainName'))
    .orderBy(sql`plain(sculptor.name)`)
    .orderBy('sculptor.id')
    .limit(limit + 1)
    .execute()
  const cut = cutPage(rows, limit, (row) => [row.plainName, row.id])
  return { items: cut.items.map(shown), next: cut.next }
}

/** @throws Problem 404, also for members when the sculptor asked not to be named */
export async function readSculptor(db: Db, viewer: Viewer, id: string): Promise<Sculptor> {
  const row = await sculptors(db, viewer).where('sculptor.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('sculptor')
  return shown(row)
}

/**
 * Renames a sculptor or changes their wish; a steward's alone.
 *
 * @param wanted the version that is meant to be changed, if the caller said one
 * @throws Problem 404, 409 when another sculptor has the name, 412
 */
export async function changeSculptor(db: Db, viewer: Viewer, id: string, change: ChangedSculptor, wanted?: number) {
  expectVersion((await readSculptor(db, viewer, id)).version, wanted)
  const done = await db
    .updateTable('sculptor')
    .set({ ...change, version: sql<number>`version + 1` })
    .where('id', '=', id)
    .$if(wanted !== undefined, (query) => query.where('version', '=', wanted ?? 0))
    .executeTakeFirst()
    .catch((error) => {
      if (uniqueViolation(error)) throw conflict('There is a sculptor of this name already.')
      throw error
    })
  if (done.numUpdatedRows === 0n) expectVersion(-1, wanted)
  return readSculptor(db, viewer, id)
}

/**
 * Finds the sculptor of this name, in any case and with or without accents, or makes them. The wish not to be named
 * counts at once, whoever passes it on; that somebody types "named" takes it back for nobody.
 *
 * @returns the sculptor's id
 */
export async function sculptorCalled(trx: Db, { name, credit }: NewFile['sculptor']): Promise<string> {
  await trx
    .insertInto('sculptor')
    .values({ id: v7(), name, credit })
    .onConflict((c) => c.doNothing())
    .execute()
  const { id, credit: known } = await trx
    .selectFrom('sculptor')
    .select(['id', 'credit'])
    .where(sql<boolean>`plain(name) = plain(${name})`)
    .executeTakeFirstOrThrow()
  if (credit === 'unnamed' && known === 'named')
    await trx.updateTable('sculptor').set({ credit, version: sql<number>`version + 1` }).where('id', '=', id).execute()
  return id
}
