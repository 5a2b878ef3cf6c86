import type { FastifyReply } from 'fastify'
import { inTransaction } from '../../db/connect.ts'
import { browserWords } from './browser.ts'
import { note } from './events.ts'
import { conflict } from './problem.ts'
import { forgetCookie, openSessions, sessionIdOf, setCookie } from './session.ts'

/** By what somebody has shown who they are. */
export type Proof = 'password' | 'new password' | 'invitation' | 'way back' | 'set-up'

/** Somebody who has shown who they are, by the hash of the password that was right, or that they have just set. */
export interface Known {
  id: string
  passwordHash: string
}

/**
 * Signs the member in on this browser, under a new session id; whatever session it had ends. Holds the member's row
 * meanwhile, so that a change of password ends this session if it comes later, and refuses it if it came first.
 *
 * @throws Problem 409 when the password was changed, or the member has left, since they showed who they are
 */
export async function signIn(reply: FastifyReply, { id, passwordHash }: Known, proof: Proof) {
  const { request } = reply
  await openSessions(request.db).deleteExpiredSessions()
  const before = sessionIdOf(request)
  const session = await inTransaction(request.db, async (trx) => {
    const isStillSo = await trx
      .selectFrom('member')
      .select('id')
      .where('id', '=', id)
      .where('passwordHash', '=', passwordHash)
      .where('state', '=', 'active')
      .forNoKeyUpdate()
      .executeTakeFirst()
    if (!isStillSo) throw conflict('The password was changed at this very moment. Sign in with the new one, please.')
    const sessions = openSessions(trx)
    if (before) await sessions.invalidateSession(before)
    const browser = browserWords(request.headers['user-agent'])
    return sessions.createSession(id, { place: request.ip, browser, seenAt: new Date() })
  })
  setCookie(reply, session.id, session.expiresAt)
  note(request, 'signed in', { memberId: id, proof })
}

/** Ends the session of this browser, if there is one. */
export async function signOut(reply: FastifyReply): Promise<void> {
  const { request } = reply
  const sessionId = sessionIdOf(request)
  if (sessionId) await request.server.sessions.invalidateSession(sessionId)
  if (request.viewer) note(request, 'signed out')
  forgetCookie(reply)
}
