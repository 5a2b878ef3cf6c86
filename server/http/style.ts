import { createHash } from 'node:crypto'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { cookieOf, setCookieOf } from './cookies.ts'
import { pagePolicy } from './headers.ts'

/*
 * A browser that has not been here yet gets the style sheet within its first page, which saves it a way to the server and
 * back before anything can be painted; it fetches the file meanwhile, and a cookie says so for the pages to come.
 */

const cookie = 'style'
const year = 365 * 24 * 3600 * 1000

/** Whether this browser does not have the style sheet of this build yet. */
export function lacksStyle(request: FastifyRequest): boolean {
  const { style, css } = request.server.assets
  // One that is refused before its cookies are read, as under another host's name, has none at all: null, whatever its type says.
  return style !== '' && Boolean(request.cookies) && cookieOf(request, cookie) !== markOf(css)
}

/** Lets the page hold the style sheet, and this one alone. */
export function sendStyle(reply: FastifyReply): void {
  const { style, css } = reply.server.assets
  reply.header('content-security-policy', pagePolicy(hashOf(style)))
  setCookieOf(reply, cookie, markOf(css), new Date(reply.server.now().getTime() + year))
}

/** The hash in the file's name: "style-AB12.css" */
const markOf = (css: string) => /-(\w+)\.css$/.exec(css)?.[1] ?? css

const hashes = new Map<string, string>()

function hashOf(style: string): string {
  const known = hashes.get(style) ?? `sha256-${createHash('sha256').update(style).digest('base64')}`
  hashes.set(style, known)
  return known
}
