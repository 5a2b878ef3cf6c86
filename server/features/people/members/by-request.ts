import type { FastifyRequest } from 'fastify'
import { note } from '../../../http/events.ts'
import { rowOf } from '../../../http/rows.ts'
import { endSessions } from '../../../http/session.ts'
import type { Wanted } from '../../../http/version.ts'
import { changeMember, readMember } from './queries.ts'
import { refusedSignOut } from './rules.ts'
import type { ChangedMember, Member } from './schema.ts'

/**
 * Changes a member's role, or lets them leave or come back, by this request; the log tells who did.
 *
 * @throws Problem as `changeMember`
 */
export async function changeSomebody(
  request: FastifyRequest,
  memberId: string,
  change: ChangedMember,
  wanted?: Wanted,
): Promise<Member> {
  const { db, member: by } = request
  const { role: was } = await readMember(db, by, memberId)
  const changed = await changeMember(db, by, memberId, change, wanted)
  if (change.state !== undefined) note(request, change.state === 'left' ? 'member left' : 'member back', { memberId })
  if (changed.role !== was) note(request, 'role changed', { memberId, was, role: changed.role })
  if (changed.role === 'owner' && was !== 'owner')
    note(request, 'role changed', { memberId: by.id, was: 'owner', role: 'steward' })
  return changed
}

/** Signs another member out everywhere, by this request. @throws Problem 403, 404, 409 (for oneself) */
export async function signSomebodyOut(request: FastifyRequest, memberId: string): Promise<void> {
  const { db, member: by } = request
  const who = await rowOf(db, 'member', memberId, ['id', 'role', 'state'])
  const refused = refusedSignOut({ ...by, state: 'active' }, who)
  if (refused) throw refused
  await endSessions(db, memberId)
  note(request, 'sessions ended', { memberId })
}
