import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Role } from '../../db/tables.ts'
import { expectMayChange } from './access.ts'
import { Problem } from './problem.ts'

/** Answers a thing with its version, for a later If-Match. */
export function sendVersion<T extends { version: number }>(reply: FastifyReply, thing: T): T {
  reply.header('etag', `"${thing.version}"`)
  return thing
}

/** Answers a thing that was made, with its version and where it is. @param list that it is found in, such as `/units` */
export function sendMade<T extends { id: string; version: number }>(reply: FastifyReply, list: string, made: T): T {
  reply.header('location', `/api/v1${list}/${made.id}`)
  return sendVersion(reply, made)
}

/**
 * The version that the caller means to change.
 *
 * @returns the number of If-Match, or undefined when there is none (or `*`) and the thing is the caller's own
 * @throws Problem 428 without If-Match on another's thing, 412 when the header is none of our ETags
 */
export function versionToChange(request: FastifyRequest, isOwn: boolean): number | undefined {
  const header = request.headers['if-match']
  if (header === undefined) {
    if (isOwn) return undefined
    throw new Problem(428, 'This is not your own: send If-Match with the ETag that reading it gave.')
  }
  if (header.trim() === '*') return undefined
  const match = /^"(\d{1,9})"$/.exec(header.trim())
  if (!match) throw stale()
  return Number(match[1])
}

/** A version that is meant to be changed, if the caller said one; over REST they have to, unless the thing is their own. */
export type Wanted = number | undefined | ((isOwn: boolean) => number | undefined)

/** As `versionToChange`, for whoever finds out whose the thing is. */
export const wantedBy =
  (request: FastifyRequest): Wanted =>
  (isOwn) =>
    versionToChange(request, isOwn)

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
  const meant = typeof wanted === 'function' ? wanted(now.ownerId === viewer.id) : wanted
  expectMayChange(viewer, now.ownerId, whoMay)
  expectVersion(now.version, meant)
  return meant
}

/** The row was changed by somebody else since the caller read it. */
export const stale = () => new Problem(412, 'Somebody changed this since you read it. Read it again, then change it.')

/** @throws Problem 412 when a version was asked for and the row has another */
export function expectVersion(current: number, wanted: number | undefined): void {
  if (wanted !== undefined && wanted !== current) throw stale()
}
