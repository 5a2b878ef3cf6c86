import type { IncomingMessage } from 'node:http'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isLoopback } from '../config.ts'
import { Problem } from './problem.ts'

/*
 * The address at which members reach the service is what PUBLIC_URL says. What a request says of it (Host,
 * X-Forwarded-Host) is compared with that and used for nothing else: whoever sends it could say anything.
 * Without PUBLIC_URL the service is this machine's alone, which has several names on loopback, all of them fine.
 */

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Asked by whatever watches the service, under any name that it has on the network. */
    anyHost?: boolean
  }
  interface FastifyInstance {
    /** Origin at which members reach the service; undefined where nobody but this machine does. */
    publicUrl: string | undefined
  }
}

const ownAddress = (app: FastifyInstance) => (app.addresses().length > 0 ? app.listeningOrigin : 'http://localhost')

/** A path of ours as a link to be sent to somebody. */
export const linkTo = (app: FastifyInstance, path: string) => `${app.publicUrl ?? ownAddress(app)}${path}`

/** Whether the member's browser speaks TLS, with us or with the proxy in front. */
export const isSecure = (request: FastifyRequest) =>
  request.server.publicUrl?.startsWith('https:') || request.protocol === 'https'

/** The host that is asked for: an absolute address decides before the header (RFC 9112, section 3.2.2). */
function hostOf({ headers }: IncomingMessage, address: string): string | undefined {
  const [, absolute] = /^https?:\/\/([^/?#]*)/i.exec(address) ?? []
  return absolute ?? headers.host
}

function isOurHost(app: FastifyInstance, host: string): boolean {
  if (!/^(?:[\w.-]+|\[[\da-f:.]+\])(?::\d{1,5})?$/i.test(host)) return false
  const ours = app.publicUrl === undefined ? undefined : new URL(app.publicUrl)
  const asked = URL.parse(`${ours?.protocol ?? 'http:'}//${host}`)
  if (!asked) return false
  if (!ours) return isLoopback(asked.hostname)
  if (isLoopback(ours.hostname)) return isLoopback(asked.hostname) && asked.port === ours.port
  return asked.host === ours.host
}

/** Whether an Origin header names our own pages; the request's host has been let in before. */
export function isOurOrigin({ server, headers }: FastifyRequest, origin: string | undefined): boolean {
  const ours = new URL(server.publicUrl ?? 'http://localhost')
  return origin === (isLoopback(ours.hostname) ? `${ours.protocol}//${headers.host}` : ours.origin)
}

/**
 * Whether the proxy says that the member's browser came without TLS, though there is TLS. Whoever writes that themself
 * is sent to TLS, no more; where nothing is said, the proxy may be one that says nothing.
 */
const isWithoutTls = ({ server, headers }: FastifyRequest) =>
  server.publicUrl?.startsWith('https:') === true && /(^|[,\s])http$/i.test(String(headers['x-forwarded-proto']))

/** Leads a browser that looks at a page to TLS. @throws Problem 421 for anything else: it must not go unnoticed */
function leadToTls(request: FastifyRequest, reply: FastifyReply) {
  const { method, server, url } = request
  if (method !== 'GET' || !/^\/(?!api\/)/.test(url))
    throw new Problem(421, `Anybody along the way could read this. The service is at ${linkTo(server, '/')}`)
  return reply.code(308).header('location', linkTo(server, url)).send()
}

/** What a proxy adds to what it hands on (RFC 7239; RFC 9110, section 7.6.3; common practice). */
const isOfProxy = (header: string) => /^(forwarded|via|x-real-ip|x-forwarded-.*)$/.test(header)

/**
 * Answers under our own address alone, and over TLS alone where there is TLS. Where nobody but this machine is meant to get
 * in, a proxy that calls us by the name of this machine would let everybody in, to the demo group as well: nothing is
 * answered that one has handed on.
 *
 * @throws Problem 400 without a host or with two, 421 for another one, or for what came without TLS or by such a proxy
 */
export function keepToOneHost(app: FastifyInstance, publicUrl: string | undefined, trustProxy = false): void {
  const isForUsAlone = !trustProxy && (publicUrl === undefined || isLoopback(new URL(publicUrl).hostname))
  app.decorate('publicUrl', publicUrl)
  app.addHook('onRequest', async (request, reply) => {
    const { raw, originalUrl } = request
    const named = raw.rawHeaders.filter((text, index) => index % 2 === 0 && text.toLowerCase() === 'host').length
    if (named > 1 || (named === 0 && raw.httpVersion === '1.1')) throw new Problem(400, 'A request must name one host.')
    if (request.routeOptions.config.anyHost) return
    if (isForUsAlone && Object.keys(raw.headers).some(isOfProxy))
      throw new Problem(
        421,
        'This came by a proxy, and the service is for this machine alone: its PUBLIC_URL is not set.',
      )
    if (!isOurHost(app, hostOf(raw, originalUrl) ?? ''))
      throw new Problem(421, `This service is not at this address. It is at ${linkTo(app, '/')}`)
    if (isWithoutTls(request)) return leadToTls(request, reply)
  })
}
