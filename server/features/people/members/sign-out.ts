import type { FastifyRequest } from 'fastify'
import { note } from '../../../http/events.ts'
import { notFound } from '../../../http/problem.ts'
import { endSessions } from '../../../http/session.ts'
import { refusedSignOut } from './rules.ts'

/** Signs another member out everywhere, by this request. @throws Problem 403, 404, 409 (for oneself) */
export async function signSomebodyOut(request: FastifyRequest, memberId: string): Promise<void> {
  const { db, member: by } = request
  const who = await db
    .selectFrom('member')
    .select(['id', 'role', 'state'])
    .where('id', '=', memberId)
    .executeTakeFirstOrThrow(() => notFound('member'))
  const refused = refusedSignOut({ ...by, state: 'active' }, who)
  if (refused) throw refused
  await endSessions(db, memberId)
  note(request, 'sessions ended', { memberId })
}
