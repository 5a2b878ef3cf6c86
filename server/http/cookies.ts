import type { FastifyReply, FastifyRequest } from 'fastify'
import { isSecure } from './origin.ts'

/** What a cookie is called here: behind TLS the name itself promises that it is Secure and came from this very host (RFC 6265bis). */
export const cookieName = (request: FastifyRequest, name: string): string =>
  isSecure(request) ? `__Host-${name}` : name

/** The value of a cookie that the browser sent along. */
export const cookieOf = (request: FastifyRequest, name: string): string | undefined =>
  request.cookies[cookieName(request, name)]

/** Sets a cookie of ours, for this host alone and out of reach for scripts. */
export function setCookieOf(reply: FastifyReply, name: string, value: string, expires: Date): void {
  reply.setCookie(cookieName(reply.request, name), value, {
    httpOnly: true,
    sameSite: 'lax',
    path: '/',
    secure: isSecure(reply.request),
    expires,
  })
}
