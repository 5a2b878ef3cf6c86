import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'

/** What members brought to the group, counted: plates they told of, files they proposed, units they asked for. */
export async function countBrought(db: Db, memberIds: string[]) {
  if (memberIds.length === 0) return new Map<string, Brought>()
  const rows = await db
    .selectFrom('member')
    .leftJoin(
      (eb) =>
        eb
          .selectFrom('plate')
          .select(['memberId as id', sql<number>`count(*)::int`.as('plates')])
          .where('told', '=', true)
          .where('memberId', 'in', memberIds)
          .groupBy('memberId')
          .as('told'),
      (join) => join.onRef('told.id', '=', 'member.id'),
    )
    .leftJoin(
      (eb) =>
        eb
          .selectFrom('proposal')
          .select(['proposerId as id', sql<number>`count(*)::int`.as('proposals')])
          .where('proposerId', 'in', memberIds)
          .groupBy('proposerId')
          .as('proposed'),
      (join) => join.onRef('proposed.id', '=', 'member.id'),
    )
    .leftJoin(
      (eb) =>
        eb
          .selectFrom('request')
          .select(['askerId as id', sql<number>`count(*)::int`.as('requests')])
          .where('askerId', 'in', memberIds)
          .groupBy('askerId')
          .as('asked'),
      (join) => join.onRef('asked.id', '=', 'member.id'),
    )
    .select(['member.id', 'plates', 'proposals', 'requests'])
    .where('member.id', 'in', memberIds)
    .execute()
  return new Map(rows.map(({ id, ...counts }) => [id, zeroed(counts)]))
}

interface Brought {
  plates: number
  proposals: number
  requests: number
}

export const nothing: Brought = { plates: 0, proposals: 0, requests: 0 }

const zeroed = ({ plates, proposals, requests }: Record<keyof Brought, number | null>): Brought => ({
  plates: plates ?? 0,
  proposals: proposals ?? 0,
  requests: requests ?? 0,
})

/** How many requests of a member's are shown: who wants them all looks through the requests. */
const shownRequests = 6

/**
 * The newest requests that a member posted, or proposed a file for. By their units alone: which file it was would tell of
 * sculptors who asked not to be named.
 */
export async function latestRequestsOf(db: Db, memberId: string) {
  const rows = await db
    .selectFrom('request')
    .innerJoin('unit', 'unit.id', 'request.unitId')
    .select(['request.id', 'unit.name as unit', 'request.state', 'askerId'])
    .where((eb) =>
      eb.or([
        eb('askerId', '=', memberId),
        eb('request.id', 'in', eb.selectFrom('proposal').select('requestId').where('proposerId', '=', memberId)),
      ]),
    )
    .orderBy('request.id', 'desc')
    .limit(shownRequests)
    .execute()
  return rows.map(({ askerId, ...request }) => ({ ...request, isAsker: askerId === memberId }))
}
