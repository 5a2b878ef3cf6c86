import type { FastifyRequest } from 'fastify'
import { isChange } from './access.ts'
import { Problem } from './problem.ts'

/*
 * What whoever looks after the service wants to find in its log: who got in or was refused, who changed what about whom,
 * and from where. Each is a line of its own with `event`, `by` (a member's id, null for somebody who is not signed in)
 * and `from` (the network address). People stand there by their ids; nothing that was typed does.
 */

/** Levels: what somebody tried in vain is a warning. */
const levels = {
  'signed in': 'info',
  'signed out': 'info',
  'sign-in failed': 'warn',
  'password wrong': 'warn',
  'password changed': 'info',
  'address changed': 'info',
  'set-up code wrong': 'warn',
  'role changed': 'info',
  'member left': 'info',
  'member back': 'info',
  'invitation made': 'info',
  'invitation withdrawn': 'info',
  'way back made': 'info',
  'sessions ended': 'info',
  refused: 'warn',
} as const

export type SecurityEvent = keyof typeof levels

/** Requests of which something tried in vain was noted: the refusal that comes of it says no more. */
const alreadyNoted = new WeakSet<FastifyRequest>()

/** @param more ids, roles and numbers alone: no secret, no address of e-mail, nothing that was typed */
export function note(request: FastifyRequest, event: SecurityEvent, more: Record<string, unknown> = {}): void {
  const by = request.viewer?.id ?? null
  if (levels[event] === 'warn') alreadyNoted.add(request)
  request.log[levels[event]]({ event, by, from: request.ip, ...more }, event)
}

/** What our pages never send, what is forbidden, and too much of anything. */
const suspicious = new Set([400, 403, 413, 415, 421, 429])

/**
 * Whether a refusal tells of somebody trying. Not being signed in does where something was to change; that nothing is
 * there does for a member, from whom others' things are hidden by the same answer, and for a code that lets people in.
 */
function tellsOfTrying({ method, viewer, is404, routeOptions }: FastifyRequest, status: number): boolean {
  if (status === 401) return isChange(method)
  if (status === 404) return !is404 && (viewer !== null || routeOptions.url?.includes('/:code') === true)
  return suspicious.has(status)
}

/** Notes a refusal, if it tells of somebody trying. */
export function noteRefusal(request: FastifyRequest, { status }: Problem): void {
  if (alreadyNoted.has(request) || !tellsOfTrying(request, status)) return
  note(request, 'refused', { status, call: `${request.method} ${request.routeOptions.url ?? 'nowhere'}` })
}

/** For what a form shows again, so that it never gets to the handler of errors: notes the refusal, and throws it on. */
export const noted =
  (request: FastifyRequest) =>
  (error: unknown): never => {
    if (error instanceof Problem) noteRefusal(request, error)
    throw error
  }
