import type { IncomingMessage } from 'node:http'
import type { FastifyRequest } from 'fastify'

/**
 * The path and query of a request, as every route sees them. One that can't be decoded names nothing, so it gets the
 * answer of an address that is not there; the host of an absolute address is left out, the Host header counts.
 */
export function readableAddress(request: Pick<IncomingMessage, 'url'>): string {
  const address = (request.url ?? '').replace(/^https?:\/\/[^/?#]*/i, '') || '/'
  try {
    decodeURIComponent(address.split('?')[0] ?? '')
    return address
  } catch {
    return address.startsWith('/api/') ? '/api/unreadable' : '/unreadable'
  }
}

/** This very address, asking for something else by this name. */
export function addressWith(url: string, name: string, value: string): string {
  const { pathname, searchParams } = new URL(url, 'http://here')
  searchParams.set(name, value)
  return `${pathname}?${searchParams}`
}

/**
 * Whether it is a call of the API rather than of a page: by the route it came to, since an address may spell the same
 * letters otherwise (`/%61pi`), and finds that route all the same.
 */
export const isCall = ({ routeOptions, url }: FastifyRequest) => (routeOptions.url ?? url).startsWith('/api/')

/**
 * An address for the log: a code in it lets people in, so it stands nowhere else. Letters may be spelled as `%69`, by which
 * a route is found all the same.
 */
export function withoutCodes(address: string): string {
  const letters = address.replace(/%[2-7][\da-f]/gi, (spelled) =>
    String.fromCharCode(Number.parseInt(spelled.slice(1), 16)),
  )
  const hidden = letters.replace(/((?:invitations|way-back)\/)[^/?#&]+/gi, '$1…')
  return hidden === letters ? address : hidden
}
