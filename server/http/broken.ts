import { type IncomingMessage, type ServerResponse, STATUS_CODES } from 'node:http'
import type { Socket } from 'node:net'
import type { FastifyInstance } from 'fastify'
import { secureHeaders } from './headers.ts'

const statuses: Record<string, number> = { HPE_HEADER_OVERFLOW: 431, ERR_HTTP_REQUEST_TIMEOUT: 408 }

const bodyOf = (status: number, detail: string) =>
  JSON.stringify({ type: 'about:blank', title: STATUS_CODES[status], status, detail })

const headersOf = (publicUrl: string | undefined, body: string) => ({
  ...secureHeaders(publicUrl?.startsWith('https:') ?? false),
  'content-type': 'application/problem+json',
  'content-length': String(Buffer.byteLength(body)),
  connection: 'close',
})

/**
 * Answers bytes that are no request: nothing else has seen them. They are not logged, since what could be read of them
 * may hold a cookie.
 */
export const answerBroken =
  (publicUrl: string | undefined) =>
  (error: Error & { code?: string }, socket: Socket): void => {
    if (error.code === 'ECONNRESET' || socket.destroyed) return
    const status = statuses[error.code ?? ''] ?? 400
    const body = bodyOf(status, 'This request cannot be read.')
    const head = Object.entries(headersOf(publicUrl, body)).map(([name, value]) => `${name}: ${value}\r\n`)
    if (socket.writable) socket.write(`HTTP/1.1 ${status} ${STATUS_CODES[status]}\r\n${head.join('')}\r\n${body}`)
    socket.destroySoon()
  }

/** Answers a request that expects what HTTP does not know, which Node would not hand on to any route. */
export function answerStrangeExpectations(app: FastifyInstance): void {
  app.server.on('checkExpectation', (_request: IncomingMessage, response: ServerResponse) => {
    const body = bodyOf(417, 'No expectation but 100-continue can be met.')
    response.writeHead(417, headersOf(app.publicUrl, body)).end(body)
  })
}
