import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'

/** What members brought to the group, counted: plates they told of, files they proposed, units they asked for. */
export async function countBrought(db: Db, memberIds: string[]) {
  if (memberIds.length === 0) return new Map<string, Brought>()
  const { rows } = await sql<Brought & { id: string }>`
    select id, (select count(*)::integer from plate where member_id = member.id and told) as plates,
      (select count(*)::integer from proposal where proposer_id = member.id) as proposals,
      (select count(*)::integer from request where asker_id = member.id) as requests
    from member where id = any(${memberIds}::uuid[])`.execute(db)
  return new Map(rows.map(({ id, ...counts }) => [id, counts]))
}

interface Brought {
  plates: number
  proposals: number
  requests: number
}

export const nothing: Brought = { plates: 0, proposals: 0, requests: 0 }

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
