import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import { isSteward } from '../../http/access.ts'
import type { Viewer } from '../../http/session.ts'
import type { Standing } from '../../scoring/habits.ts'
import { currentFit } from './model.ts'

/** Writes how every member's reports look beside everybody else's. */
export async function keepStandings(
  db: Db,
  fit: number,
  standings: readonly ({ memberId: string } & Standing)[],
): Promise<void> {
  if (standings.length === 0) return
  await sql`
    insert into member_standing (member_id, fit, reports, surprise, habit, weight)
    select "memberId", ${fit}, reports, surprise, habit, weight
    from json_to_recordset(${JSON.stringify(standings)}::json)
      as given ("memberId" uuid, reports integer, surprise float8, habit text, weight float8)`.execute(db)
}

/** Members whose evidence counts less since the last full fit: all of them for stewards, else oneself or nobody. */
export async function doubtedMembers(db: Db, viewer: Viewer) {
  return db
    .selectFrom('memberStanding')
    .innerJoin('member', 'member.id', 'memberStanding.memberId')
    .select(['member.id', 'member.name', 'reports', 'surprise', 'habit', 'weight'])
    .where('fit', '=', currentFit)
    .where('weight', '<', 1)
    .$if(!isSteward(viewer), (query) => query.where('memberId', '=', viewer.id))
    .orderBy('surprise', 'desc')
    .orderBy('member.id')
    .execute()
}
