import { createHash } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { type Adapter, type DatabaseSession, type DatabaseUser, Lucia, TimeSpan } from 'lucia'
import { type Db, inTransaction, often } from '../../db/connect.ts'
import type { Crowding, Role } from '../../db/tables.ts'
import { note } from './events.ts'
import { isSecure } from './origin.ts'
import { conflict } from './problem.ts'

/** Whoever is signed in, as every route sees them. */
export interface Viewer {
  id: string
  name: string
  role: Role
  defaultPrinterId: string | null
  defaultCrowding: Crowding
}

declare module 'lucia' {
  interface Register {
    Lucia: Sessions
    DatabaseUserAttributes: Omit<Viewer, 'id'>
  }
}

export type Sessions = Lucia<Record<never, never>, Omit<Viewer, 'id'>>

/*
 * lucia is no longer maintained upstream. This file is the only one that knows of it: whoever replaces it keeps
 * openSessions, sessionIdOf, signIn, signOut, forgetCookie, endSessions and viewerOf.
 */

/** Sessions last 30 days and are renewed while in use, but nobody stays signed in for more than half a year. */
const renewed = new TimeSpan(30, 'd')
const longest = new TimeSpan(180, 'd')

const oldest = () => new Date(Date.now() - longest.milliseconds())

/** Only the hash is stored, so that whoever reads the table can't sign in with what they find. */
const hashOf = (sessionId: string) => createHash('sha256').update(sessionId).digest('base64url')

/** lucia's seven questions, answered from our tables. Members who have left have no sessions. */
function adapter(db: Db): Adapter {
  return {
    async getSessionAndUser(sessionId): Promise<[DatabaseSession | null, DatabaseUser | null]> {
      const row = await db
        .selectFrom('session')
        .innerJoin('member', 'member.id', 'session.memberId')
        .modifyFront(often)
        .select(['session.memberId', 'session.expiresAt', 'member.name', 'member.role'])
        .select(['member.defaultPrinterId', 'member.defaultCrowding'])
        .where('session.idHash', '=', hashOf(sessionId))
        .where('session.createdAt', '>', oldest())
        .where('member.state', '=', 'active')
        .executeTakeFirst()
      if (!row) return [null, null]
      const { memberId, expiresAt, ...attributes } = row
      return [
        { id: sessionId, userId: memberId, expiresAt, attributes: {} },
        { id: memberId, attributes },
      ]
    },
    async getUserSessions(memberId) {
      const rows = await db
        .selectFrom('session')
        .select(['idHash', 'expiresAt'])
        .where('memberId', '=', memberId)
        .execute()
      return rows.map((row) => ({ id: row.idHash, userId: memberId, expiresAt: row.expiresAt, attributes: {} }))
    },
    async setSession(session) {
      await db
        .insertInto('session')
        .values({ idHash: hashOf(session.id), memberId: session.userId, expiresAt: session.expiresAt })
        .execute()
    },
    async updateSessionExpiration(sessionId, expiresAt) {
      await db.updateTable('session').set({ expiresAt }).where('idHash', '=', hashOf(sessionId)).execute()
    },
    async deleteSession(sessionId) {
      await db.deleteFrom('session').where('idHash', '=', hashOf(sessionId)).execute()
    },
    async deleteUserSessions(memberId) {
      await db.deleteFrom('session').where('memberId', '=', memberId).execute()
    },
    async deleteExpiredSessions() {
      await db
        .deleteFrom('session')
        .where((eb) => eb.or([eb('expiresAt', '<=', new Date()), eb('createdAt', '<=', oldest())]))
        .execute()
    },
  }
}

export function openSessions(db: Db): Sessions {
  return new Lucia(adapter(db), {
    sessionExpiresIn: renewed,
    sessionCookie: { name: sessionCookie },
    getUserAttributes: (attributes) => attributes,
  })
}

export const sessionCookie = 'understudy_session'

// Behind TLS the name itself promises that the cookie is Secure and came from this very host (RFC 6265bis).
const cookieName = (request: FastifyRequest) =>
  isSecure(request) ? (`__Host-${sessionCookie}` as const) : sessionCookie

/** The session id that the browser sent along, valid or not. */
export const sessionIdOf = (request: FastifyRequest): string | undefined => request.cookies[cookieName(request)]

function setCookie(request: FastifyRequest, reply: FastifyReply, value: string, expires: Date) {
  reply.setCookie(cookieName(request), value, {
    httpOnly: true,
    sameSite: 'lax',
    path: '/',
    secure: isSecure(request),
    expires,
  })
}

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
export async function signIn(request: FastifyRequest, reply: FastifyReply, { id, passwordHash }: Known): Promise<void> {
  await request.server.sessions.deleteExpiredSessions()
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
    return sessions.createSession(id, {})
  })
  setCookie(request, reply, session.id, session.expiresAt)
  note(request, 'signed in', { memberId: id })
}

/** Ends the session of this browser, if there is one. */
export async function signOut(request: FastifyRequest, reply: FastifyReply): Promise<void> {
  const sessionId = sessionIdOf(request)
  if (sessionId) await request.server.sessions.invalidateSession(sessionId)
  forgetCookie(request, reply)
}

/** Takes the cookie, and what was shown under it, off this browser; its session has to be ended as well. */
export function forgetCookie(request: FastifyRequest, reply: FastifyReply): void {
  setCookie(request, reply, '', new Date(0))
  // Pages are not kept anyhow (no-store); this also empties what a browser holds for its back button.
  reply.header('clear-site-data', '"cache"')
}

/**
 * Ends a member's sessions, at once and within the transaction of `db`.
 *
 * @param except the session id that may go on
 */
export async function endSessions(db: Db, memberId: string, except?: string): Promise<void> {
  await db
    .deleteFrom('session')
    .where('memberId', '=', memberId)
    .$if(except !== undefined, (query) => query.where('idHash', '!=', hashOf(except ?? '')))
    .execute()
}

/** Who asks, by the session cookie; null when nobody is signed in. Renews a session that is half over. */
export async function viewerOf(request: FastifyRequest, reply: FastifyReply): Promise<Viewer | null> {
  const sessionId = sessionIdOf(request)
  if (!sessionId || sessionId.length > 200) return null
  const { session, user } = await request.server.sessions.validateSession(sessionId)
  if (!session) return null
  if (session.fresh) setCookie(request, reply, session.id, session.expiresAt)
  return user
}
