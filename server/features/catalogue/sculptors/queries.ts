import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { isSteward } from '../../../http/access.ts'
import { wordsOf } from '../../../http/fields.ts'
import { type Asked, pageByName, shownPage } from '../../../http/paging.ts'
import { conflict, notFound } from '../../../http/problem.ts'
import { changeRow, heldRow } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { expectVersion, type Wanted } from '../../../http/version.ts'
import { isAsTyped } from '../files/rules.ts'
import type { ChangedSculptor, Sculptor } from '../files/schema.ts'
import { lockNames } from './called.ts'

/** The sculptors that the viewer may know of: for stewards all, for others those who may be named or whom they typed. */
export const knownTo = (viewer: Viewer) =>
  isSteward(viewer)
    ? sql<boolean>`true`
    : sql<boolean>`(sculptor.credit = 'named' or (sculptor.typed_by = ${viewer.id} and sculptor.typed_as = 'named'))`

const sculptors = (db: Db, viewer: Viewer) =>
  db
    .selectFrom('sculptor')
    .leftJoin('member', 'member.id', 'sculptor.typedBy')
    .select(['sculptor.id', 'sculptor.name', 'credit', 'sculptor.createdAt', 'sculptor.version'])
    .select(['typedBy as sculptorTypedBy', 'typedAs as sculptorTypedAs', 'member.name as typist'])
    .select(sql<number>`(select count(*)::integer from file where sculptor_id = sculptor.id)`.as('files'))
    .where(knownTo(viewer))

type Row = Awaited<ReturnType<ReturnType<typeof sculptors>['executeTakeFirstOrThrow']>>

function shown({ sculptorTypedBy, sculptorTypedAs, typist, ...row }: Row, viewer: Viewer): Sculptor {
  const isOwn = !isSteward(viewer) && isAsTyped({ sculptorTypedBy, sculptorTypedAs }, viewer)
  return {
    ...row,
    credit: isOwn ? 'named' : row.credit,
    typedBy: isSteward(viewer) && sculptorTypedBy && typist !== null ? { id: sculptorTypedBy, name: typist } : null,
    createdAt: row.createdAt.toISOString(),
  }
}

const likeness = 0.35

/** By the index (migration 026), and those who asked not to be named one by one: which the viewer may know is asked besides. */
const isCandidate = (words: string, limit: number) => sql<boolean>`sculptor.id = any(array(
  select near_sculptors(plain(${words}), ${limit}::integer)
  union all select id from sculptor where credit = 'unnamed'
))`

/** A page of the sculptors: by name, or the nearest first when something is looked for. */
export async function listSculptors(db: Db, viewer: Viewer, { q, ...asked }: Asked & { q?: string | undefined }) {
  const { limit } = asked
  const words = wordsOf(q)
  if (words) {
    const near = sql<number>`word_similarity(plain(${words}), plain(sculptor.name))`
    const found = await sculptors(db, viewer)
      .where(isCandidate(words, limit))
      .where((eb) => eb(near, '>=', likeness))
      .orderBy(near, 'desc')
      .orderBy('sculptor.name')
      .orderBy('sculptor.id')
      .limit(limit)
      .execute()
    return { items: found.map((row) => shown(row, viewer)), next: null }
  }
  return shownPage(await pageByName(sculptors(db, viewer), 'sculptor', asked), (row) => shown(row, viewer))
}

/** @throws Problem 404, also for members when the sculptor asked not to be named */
export async function readSculptor(db: Db, viewer: Viewer, id: string): Promise<Sculptor> {
  const row = await sculptors(db, viewer).where('sculptor.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('sculptor')
  return shown(row, viewer)
}

/**
 * Renames a sculptor or changes their wish; a steward's alone. Who may be named again has all files of this name, also
 * those for which members typed it meanwhile.
 *
 * @throws Problem 404, 409 when another sculptor has the name, or when two files would have one title, 412
 */
export async function changeSculptor(db: Db, viewer: Viewer, id: string, change: ChangedSculptor, wanted?: Wanted) {
  return inTransaction(db, async (trx) => {
    const { name: known } = await readSculptor(trx, viewer, id)
    await lockNames(trx, [known, change.name ?? known])
    const before = await heldRow(trx, 'sculptor', id, ['name', 'version'])
    expectVersion(before.version, wanted, false)
    if (change.name !== undefined) await expectNewName(trx, before.name, change.name)
    if (change.credit === 'named') await takeTogether(trx, id, before.name)
    const own = change.credit === 'named' ? { typedBy: null, typedAs: null } : {}
    await changeRow(trx, 'sculptor', id, { ...change, ...own })
    return readSculptor(trx, viewer, id)
  })
}

/** @throws Problem 409 when others than those of the present name have the new one */
async function expectNewName(trx: Db, before: string, name: string): Promise<void> {
  const other = await trx
    .selectFrom('sculptor')
    .select('id')
    .where(sql<boolean>`plain(name) = plain(${name}) and plain(name) <> plain(${before})`)
    .executeTakeFirst()
  if (other) throw conflict('There is already a sculptor with this name.')
}

/** For `.catch` of what gives a sculptor the files of another. */
export const twoOfOneTitle = ifTaken(() =>
  conflict('Two of their files have the same title. Say in one title what tells them apart, then try again.'),
)

/** Gives a sculptor the files of all others of the same name, who are no more then. @throws Problem 409 */
async function takeTogether(trx: Db, id: string, name: string): Promise<void> {
  const others = await trx
    .selectFrom('sculptor')
    .select('id')
    .where(sql<boolean>`plain(name) = plain(${name})`)
    .where('id', '<>', id)
    .execute()
  if (others.length === 0) return
  const ids = others.map((other) => other.id)
  await trx.updateTable('file').set({ sculptorId: id }).where('sculptorId', 'in', ids).execute().catch(twoOfOneTitle)
  await trx.deleteFrom('sculptor').where('id', 'in', ids).execute()
}
