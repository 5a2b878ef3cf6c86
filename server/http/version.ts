import type { FastifyRequest } from 'fastify'
import type { Role } from '../../db/tables.ts'
import { expectMayChange } from './access.ts'
import { isCall } from './address.ts'
import { Problem } from './problem.ts'

/** A version that is meant to be changed, if the caller said one; over REST they have to, unless the thing is their own. */
export type Wanted = number | undefined | ((isOwn: boolean) => number | undefined)

/** The version a form was made from; undefined when it carries none. */
export function versionOf(body: unknown): number | undefined {
  const text = (body as { version?: unknown } | undefined)?.version
  return typeof text === 'string' && /^\d{1,9}$/.test(text) ? Number(text) : undefined
}

/** What a request says of the version that it means to change: a page's form in a field, a call of the API in If-Match. */
export const wantedBy = (request: FastifyRequest): Wanted =>
  isCall(request) ? (isOwn) => versionToChange(request, isOwn) : versionOf(request.body)

/**
 * The version that a call means to change.
 *
 * @returns the number of If-Match, or undefined when there is none (or `*`) and the thing is the caller's own
 * @throws Problem 428 without If-Match on another's thing, 412 when the header is none of our ETags
 */
function versionToChange(request: FastifyRequest, isOwn: boolean): number | undefined {
  const header = request.headers['if-match']
  if (header === undefined) {
    if (isOwn) return undefined
    throw new Problem(428, 'This is somebody else’s: send If-Match with the ETag that you got when you read it.')
  }
  if (header.trim() === '*') return undefined
  const match = /^"(\d{1,9})"$/.exec(header.trim())
  if (!match) throw stale()
  return Number(match[1])
}

/**
 * Lets a viewer change what is this member's, as it is by now.
 *
 * @returns the version that was meant, if the caller said one
 * @throws Problem 428, 403 in the words of who may, 412
 */
export function expectChange(
  viewer: { id: string; role: Role },
  now: { ownerId: string; version: number },
  whoMay: string,
  wanted: Wanted,
): number | undefined {
  const meant = meantBy(wanted, now.ownerId === viewer.id)
  expectMayChange(viewer, now.ownerId, whoMay)
  return expectVersion(now.version, meant)
}

/** The row was changed by somebody else since the caller read it. */
export const stale = () => new Problem(412, 'Somebody changed this since you read it. Read it again, then change it.')

const meantBy = (wanted: Wanted, isOwn: boolean) => (typeof wanted === 'function' ? wanted(isOwn) : wanted)

/**
 * @param isOwn whether the row is the caller's own
 * @returns the version that was meant, if the caller said one
 * @throws Problem 412 when that is another than the row has, 428 without one for what is not the caller's own
 */
export function expectVersion(current: number, wanted: Wanted, isOwn = true): number | undefined {
  const meant = meantBy(wanted, isOwn)
  if (meant !== undefined && meant !== current) throw stale()
  return meant
}
