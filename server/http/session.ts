import { createHash } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { sql } from 'kysely'
import { type Adapter, type DatabaseSession, type DatabaseUser, Lucia, TimeSpan } from 'lucia'
import { v7 } from 'uuid'
import type { Db } from '../../db/connect.ts'
import { often } from '../../db/often.ts'
import type { Crowding, Role } from '../../db/tables.ts'
import { type Bottle, usualBottle } from './bottle.ts'
import { cookieOf, setCookieOf } from './cookies.ts'
import { type Group, groupColumns } from './group.ts'

/** Whoever is signed in, as every route sees them, and their group as it was when they asked. */
export interface Viewer {
  id: string
  name: string
  role: Role
  defaultPrinterId: string | null
  defaultCrowding: Crowding
  /** their usual one; null: the group's settings count for them */
  resin: Bottle | null
  group: Group
}

declare module 'lucia' {
  interface Register {
    Lucia: Sessions
    DatabaseUserAttributes: Omit<Viewer, 'id'>
    DatabaseSessionAttributes: Origin & { snapshot?: string }
  }
}

/** Where a session began, and when it was last used. */
interface Origin {
  place: string | null
  browser: string | null
  seenAt: Date
}

export type Sessions = Lucia<Origin & { snapshot?: string }, Omit<Viewer, 'id'>>

/*
 * lucia is no longer maintained upstream. This file is the only one that knows of it: whoever replaces it keeps
 * openSessions, sessionIdOf, sessionHashOf, setCookie, forgetCookie, endSessions and viewerOf. It is used as its
 * documentation has it (v3: sessions, validating cookies; a renewed session gets its cookie anew), except that
 * - the cookie is set here: lucia fixes its name and Secure once for all, ours depend on whether there is TLS;
 * - the table holds a hash where lucia's examples keep the id itself;
 * - a session ends after `longest` even while in use, for which lucia has no setting;
 * - the cookie of a session that has ended is not taken off: an answer that comes late would take the next one's;
 * - whoever has left has no session, rather than one without its member, which lucia would delete while it reads;
 * - the origin of a change is compared with PUBLIC_URL (access.ts), not with Host as `verifyRequestOrigin` would, and a
 *   browser's own word for it (Sec-Fetch-Site) goes first.
 */

/** Sessions last 30 days and are renewed while in use, but nobody stays signed in for more than half a year. */
export const renewed = new TimeSpan(30, 'd')
export const longest = new TimeSpan(180, 'd')

const oldest = () => new Date(Date.now() - longest.milliseconds())

/** Only the hash is stored, so that whoever reads the table can't sign in with what they find. */
const hashOf = (sessionId: string) => createHash('sha256').update(sessionId).digest('base64url')

/** lucia's seven questions, answered from our tables. Members who have left have no sessions. */
function adapter(db: Db): Adapter {
  return {
    async getSessionAndUser(sessionId): Promise<[DatabaseSession | null, DatabaseUser | null]> {
      const [row] = await sessionAndMember(db, { idHash: hashOf(sessionId), oldest: oldest() })
      if (!row) return [null, null]
      const { memberId, expiresAt, place, browser, seenAt, snapshot, ...columns } = row
      return [
        { id: sessionId, userId: memberId, expiresAt, attributes: { place, browser, seenAt, snapshot } },
        { id: memberId, attributes: attributesOf(columns) },
      ]
    },
    async getUserSessions(memberId) {
      const rows = await db
        .selectFrom('session')
        .select(['idHash', 'expiresAt', 'place', 'browser', 'seenAt'])
        .where('memberId', '=', memberId)
        .execute()
      return rows.map(({ idHash: id, expiresAt, ...attributes }) => ({ id, userId: memberId, expiresAt, attributes }))
    },
    async setSession(session) {
      await db
        .insertInto('session')
        .values({
          idHash: hashOf(session.id),
          id: v7(),
          memberId: session.userId,
          expiresAt: session.expiresAt,
          ...session.attributes,
        })
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

const viewerColumns = [
  ...(['member.name', 'member.role', 'member.defaultPrinterId', 'member.defaultCrowding'] as const),
  'groupSettings.name as groupName',
  usualBottle.as('resin'),
  ...groupColumns,
] as const

type ViewerRow = Omit<Viewer, 'id' | 'group'> & Omit<Group, 'name'> & { groupName: string }

function attributesOf({ name, role, defaultPrinterId, defaultCrowding, resin, groupName, ...settings }: ViewerRow) {
  return { name, role, defaultPrinterId, defaultCrowding, resin, group: { name: groupName, ...settings } }
}

/** These members as their own requests would know them, for what is done for them while nobody asks. */
export async function viewersNamed(db: Db, ids: readonly string[]): Promise<Viewer[]> {
  const rows = await db
    .selectFrom('member')
    .crossJoin('groupSettings')
    .select(['member.id', ...viewerColumns])
    .where('member.id', 'in', ids)
    .execute()
  return rows.map(({ id, ...columns }) => ({ id, ...attributesOf(columns) }))
}

/** Which transactions are over by now, and for which server, since another one counts them anew (kept-answers.ts). */
const snapshot = sql<string>`pg_current_snapshot()::text || ' of ' || pg_postmaster_start_time()`

const sessionAndMember = often((db, given: { idHash: string; oldest: Date }) =>
  db
    .selectFrom('session')
    .innerJoin('member', 'member.id', 'session.memberId')
    // One row: whoever is signed in belongs to the group.
    .crossJoin('groupSettings')
    .select(['session.memberId', 'session.expiresAt', 'session.place', 'session.browser', 'session.seenAt'])
    .select(viewerColumns)
    .select(snapshot.as('snapshot'))
    .where('session.idHash', '=', given.idHash)
    .where('session.createdAt', '>', given.oldest)
    .where('member.state', '=', 'active'),
)

export function openSessions(db: Db): Sessions {
  return new Lucia(adapter(db), {
    sessionExpiresIn: renewed,
    sessionCookie: { name: sessionCookie },
    getUserAttributes: (attributes) => attributes,
    getSessionAttributes: (attributes) => attributes,
  })
}

export const sessionCookie = 'understudy_session'

/** The session id that the browser sent along, valid or not. */
export const sessionIdOf = (request: FastifyRequest): string | undefined => cookieOf(request, sessionCookie)

/** As the table knows the session that the browser sent along. */
export function sessionHashOf(request: FastifyRequest): string | undefined {
  const sessionId = sessionIdOf(request)
  return sessionId === undefined ? undefined : hashOf(sessionId)
}

/** The session's own cookie, with the attributes that lucia's would have. */
export function setCookie(reply: FastifyReply, value: string, expires: Date) {
  setCookieOf(reply, sessionCookie, value, expires)
}

/** Takes the cookie, and what was shown under it, off this browser; its session has to be ended as well. */
export function forgetCookie(reply: FastifyReply): void {
  setCookie(reply, '', new Date(0))
  // Pages are not kept anyhow (no-store); this also empties what a browser holds for its back button.
  reply.header('clear-site-data', '"cache"')
}

/**
 * Ends a member's sessions, at once and within the transaction of `db`.
 *
 * @param exceptHash of the session that may go on
 */
export async function endSessions(db: Db, memberId: string, exceptHash?: string): Promise<void> {
  await db
    .deleteFrom('session')
    .where('memberId', '=', memberId)
    .$if(exceptHash !== undefined, (query) => query.where('idHash', '!=', exceptHash ?? ''))
    .execute()
}

/** Who asks, by the session cookie; null when nobody is signed in. Renews a session that is half over. */
export async function viewerOf(request: FastifyRequest, reply: FastifyReply): Promise<Viewer | null> {
  const sessionId = sessionIdOf(request)
  if (!sessionId || sessionId.length > 200) return null
  const { session, user } = await request.server.sessions.validateSession(sessionId)
  if (!session) return null
  request.snapshot = session.snapshot
  if (session.fresh) setCookie(reply, session.id, session.expiresAt)
  if (Date.now() - session.seenAt.getTime() > seenEveryMs) await markSeen(request.db, sessionId)
  return user
}

/** Its member sees in the list of their sessions when each was last used; to the hour, so that reading stays reading. */
const seenEveryMs = 3_600_000

async function markSeen(db: Db, sessionId: string): Promise<void> {
  const query = db.updateTable('session').set({ seenAt: new Date() }).where('idHash', '=', hashOf(sessionId))
  // Where nothing can be written just now, there is still a lot to be read.
  await query.execute().catch(() => {})
}
