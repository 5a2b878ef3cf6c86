import type { FastifyRequest } from 'fastify'
import { Problem } from './problem.ts'

/*
 * What whoever looks after the service wants to find in its log: who got in or was refused, who changed what about whom,
 * and from where. Each is a line of its own with `event`, `by` (a member's id, null for somebody who is not signed in)
 * and `from` (the network address). People stand there by their ids; nothing that was typed does.
 */

/** Levels: what somebody tried in vain is a warning. */
const levels = {
  'signed in': 'info',
  'sign-in failed': 'warn',
  'password wrong': 'warn',
  'password changed': 'info',
  'role changed': 'info',
  'member left': 'info',
  'member back': 'info',
  'way back made': 'info',
  'sessions ended': 'info',
  refused: 'warn',
} as const

export type SecurityEvent = keyof typeof levels

/** Requests of which something tried in vain was noted: the refusal that comes of it says no more. */
const told = new WeakSet<FastifyRequest>()

/** @param more ids, roles and numbers alone: no secret, no address of e-mail, nothing that was typed */
export function note(request: FastifyRequest, event: SecurityEvent, more: Record<string, unknown> = {}): void {
  const by = request.viewer?.id ?? null
  if (levels[event] === 'warn') told.add(request)
  request.log[levels[event]]({ event, by, from: request.ip, ...more }, event)
}

const isChange = (method: string) => !['GET', 'HEAD', 'OPTIONS'].includes(method)

/** Notes a refusal, if it is of a kind that tells of somebody trying: 403, 429, and 401 where something was to change. */
export function noteRefusal(request: FastifyRequest, { status }: Problem): void {
  if (told.has(request)) return
  if (status !== 403 && status !== 429 && !(status === 401 && isChange(request.method))) return
  note(request, 'refused', { status, call: `${request.method} ${request.routeOptions.url ?? 'nowhere'}` })
}

/** For what a form shows again, so that it never gets to the handler of errors: notes the refusal, and throws it on. */
export const noted =
  (request: FastifyRequest) =>
  (error: unknown): never => {
    if (error instanceof Problem) noteRefusal(request, error)
    throw error
  }
