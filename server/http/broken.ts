import { STATUS_CODES } from 'node:http'
import type { Socket } from 'node:net'

const statuses: Record<string, number> = { HPE_HEADER_OVERFLOW: 431, ERR_HTTP_REQUEST_TIMEOUT: 408 }

/**
 * Answers bytes that are no request: nothing else has seen them. They are not logged, since what could be read of them
 * may hold a cookie.
 */
export function answerBroken(error: Error & { code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || socket.destroyed) return
  const status = statuses[error.code ?? ''] ?? 400
  const title = STATUS_CODES[status]
  const body = JSON.stringify({ type: 'about:blank', title, status, detail: 'This is no request that can be read.' })
  const head = [
    `HTTP/1.1 ${status} ${title}`,
    'Content-Type: application/problem+json',
    `Content-Length: ${Buffer.byteLength(body)}`,
    'Connection: close',
  ]
  if (socket.writable) socket.write(`${head.join('\r\n')}\r\n\r\n${body}`)
  socket.destroySoon()
}
