import type { IncomingMessage } from 'node:http'

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

/** An address for the log: a code in it lets people in, so it stands nowhere else. */
export const withoutCodes = (address: string) =>
  address.replace(/((?:invitations|way-back)(?:\/|%2f))[^/?#&]+/gi, '$1…')
