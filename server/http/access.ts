import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Role } from '../../db/tables.ts'
import { isCall } from './address.ts'
import { isOurOrigin } from './origin.ts'
import { Problem } from './problem.ts'
import { sessionIdOf, viewerOf } from './session.ts'

/**
 * Who may call a route at all: everybody, members (all who are signed in), stewards (and the owner), the owner.
 * Whose things a member may change is decided where the thing is known.
 */
export type Access = 'public' | 'member' | 'steward' | 'owner'

declare module 'fastify' {
  interface FastifyContextConfig {
    access?: Access
  }
  interface FastifyRequest {
    /** when whoever asks was looked up, by `performance.now()` */
    admittedAt: number
  }
}

const rank: Record<Role, number> = { member: 1, steward: 2, owner: 3 }

/** Stewards, and the owner, look after everybody's things. */
export const isSteward = (viewer: { role: Role }) => rank[viewer.role] >= rank.steward

/** Whether the viewer may change this: their own things, or any as a steward. */
export const mayChange = (viewer: { id: string; role: Role }, ownerId: string) =>
  viewer.id === ownerId || isSteward(viewer)

/** @throws Problem 403 in these words unless the viewer may change what is this member's */
export function expectMayChange(viewer: { id: string; role: Role }, ownerId: string, whoDoes: string): void {
  if (!mayChange(viewer, ownerId)) throw new Problem(403, whoDoes)
}

/** A change that a browser was led into by another site carries a cookie too; only our own pages may send it. */
function isFromOurPages(request: FastifyRequest): boolean {
  const site = request.headers['sec-fetch-site']
  if (site !== undefined) return site === 'same-origin'
  return isOurOrigin(request, request.headers.origin)
}

export const isChange = (method: string) => !['GET', 'HEAD', 'OPTIONS'].includes(method)

/** What waited on a phone for its member is not carried out for another one, who is signed in there by now. @throws Problem 403 */
function expectMeant({ headers, viewer }: FastifyRequest): void {
  const meant = headers['sent-by']
  if (meant !== undefined && viewer && meant !== viewer.id)
    throw new Problem(403, 'Another member is now signed in on this browser: this waits for the one who wrote it.')
}

/** Who looks for a page that is not there, so that they keep their way on; without a database that is nobody. */
async function whoeverIsLost(request: FastifyRequest, reply: FastifyReply) {
  const wantsPage = request.method === 'GET' && !isCall(request)
  if (!wantsPage || sessionIdOf(request) === undefined) return null
  return viewerOf(request, reply).catch(() => null)
}

/** Every route asks here first: the origin of a change, who is signed in, and whether they may come in at all. */
export function guardRoutes(app: FastifyInstance): void {
  app.decorateRequest('admittedAt', 0)
  app.addHook('onRequest', async (request, reply) => {
    if (request.is404) request.viewer = await whoeverIsLost(request, reply)
    else await admit(request, reply)
  })
}

/** Longer than a body takes on any line but a bad one. (Common practice, no source.) */
const soonMs = 1000

/**
 * A body may take its time, and whoever sends it may have been signed out or have lost a role before its end: after a
 * while they are looked up again. To be registered after all that reads bodies.
 */
export function guardLateBodies(app: FastifyInstance): void {
  app.addHook('preValidation', async (request, reply) => {
    const isLate = performance.now() - request.admittedAt > soonMs
    if (isLate && isChange(request.method) && !request.is404) await admit(request, reply)
  })
}

async function admit(request: FastifyRequest, reply: FastifyReply): Promise<void> {
  const access = request.routeOptions.config.access ?? 'member'
  const hasCookie = sessionIdOf(request) !== undefined
  const saysOrigin = request.headers['sec-fetch-site'] ?? request.headers.origin
  if (isChange(request.method) && (hasCookie || saysOrigin) && !isFromOurPages(request))
    throw new Problem(403, 'This change did not come from one of our pages: its Origin is missing or wrong.')
  request.viewer = hasCookie ? await viewerOf(request, reply) : null
  request.admittedAt = performance.now()
  expectMeant(request)
  if (access === 'public') return
  if (!request.viewer) throw new Problem(401, 'This is for members of the group; sign in first.')
  if (rank[request.viewer.role] < rank[access])
    throw new Problem(403, access === 'owner' ? 'This is for the owner of the group.' : 'This is for stewards.')
}
