import type { Insertable } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../db/connect.ts'
import type { Tables } from '../../db/tables.ts'
import { roster, type Size } from '../planning/rosters.ts'

/** Takes the solver some ten seconds with `heavyBudget`, and it finds several better plans on the way. */
export const heavy: Size = { entries: 150, candidates: 20, offers: 1500, looksWorthMinor: 0, seed: 1 }
export const heavyBudget = { budget: { amount: '40.00', currency: 'EUR' }, looks: '0', timeLimitS: 60 }

/**
 * A roster of the kind that `test/planning/rosters.ts` makes up, written into the database with all that it is planned
 * from; what is in the archive there is free here. Printing costs follow the group's price of resin.
 *
 * @param memberId whose roster it is
 * @returns the roster's id
 */
export async function aHeavyRoster(db: Db, memberId: string, size: Size = heavy): Promise<string> {
  const { entries, files, candidates, offers } = roster(size)
  const ids = new Map<string, string>()
  const idOf = (name: string) => ids.get(name) ?? ids.set(name, v7()).get(name) ?? ''
  const sculptors = [...new Set(files.map(({ sculptorId }) => sculptorId))]
  const rosterId = v7()
  const by = { createdBy: memberId }
  await insert(
    db,
    'sculptor',
    sculptors.map((name) => ({ id: idOf(name), name: `Heavy ${name}`, credit: 'named' })),
  )
  await insert(
    db,
    'file',
    files.map(({ id, sculptorId }, place) => ({
      id: idOf(id),
      title: `Heavy ${id}`,
      sculptorId: idOf(sculptorId),
      resinMl: 4 + (place % 13),
      heightMm: 45,
      baseShape: 'round' as const,
      baseWidthMm: 25 + (place % 4),
      ...by,
    })),
  )
  const name = (place: number) => `Heavy levy ${place + 1}`
  await insert(
    db,
    'unit',
    entries.map(({ id }, place) => ({ id: idOf(`unit ${id}`), name: name(place), scaleMm: 28, ...by })),
  )
  await insert(
    db,
    'fileUnit',
    candidates.map(({ entryId, fileId }) => ({ fileId: idOf(fileId), unitId: idOf(`unit ${entryId}`) })),
  )
  await insert(
    db,
    'offer',
    offers.map(({ id, kind, priceMinor }) => ({
      id: idOf(id),
      kind: kind === 'owned' ? ('free' as const) : kind,
      priceMinor,
      priceCurrency: 'EUR',
      title: `Heavy ${id}`,
      minMonths: kind === 'membership' ? 1 : null,
      seenOn: '2026-01-01',
      ...by,
    })),
  )
  await insert(
    db,
    'offerFile',
    offers.flatMap(({ id, fileIds }) => fileIds.map((fileId) => ({ offerId: idOf(id), fileId: idOf(fileId) }))),
  )
  await insert(db, 'roster', [{ id: rosterId, ownerId: memberId, name: 'Heavy muster' }])
  await insert(
    db,
    'rosterEntry',
    entries.map(({ id, models }, place) => ({
      id: v7(),
      rosterId,
      place: place + 1,
      words: name(place),
      unitId: idOf(`unit ${id}`),
      models,
    })),
  )
  return rosterId
}

/** So many rows fit into one statement whatever the table. */
const most = 2000

async function insert<Name extends keyof Tables & string>(db: Db, table: Name, rows: Insertable<Tables[Name]>[]) {
  for (let from = 0; from < rows.length; from += most)
    await db
      .insertInto(table)
      .values(rows.slice(from, from + most) as never)
      .execute()
}
