import type { Server } from 'node:http'
import type { Socket } from 'node:net'
import type { FastifyInstance } from 'fastify'

/** How long a stopping service waits for its last answers: Docker kills it after ten seconds. */
const patienceMs = 8_000
/** And for the first bytes of a connection that was just opened. */
const greetingMs = 500

/**
 * A stopping service lets everybody finish what they are in the middle of, and keeps nobody who just stays connected:
 * browsers hold connections open, used or not, for longer than anybody waits.
 */
export function stopPatiently(app: FastifyInstance): void {
  const open = new Set<Socket>()
  app.server.on('connection', (socket: Socket) => {
    open.add(socket)
    socket.once('close', () => open.delete(socket))
  })
  app.addHook('preClose', async () => {
    if (app.server.listening) hangUp(app.server as Server, open)
  })
}

function hangUp(server: Server, open: Set<Socket>): void {
  const silent = setTimeout(() => {
    for (const socket of open) if (socket.bytesRead === 0) socket.destroy()
  }, greetingMs)
  // Those that become idle from now on; Node itself sees to those that are.
  const sweep = setInterval(() => server.closeIdleConnections(), 100)
  const end = setTimeout(() => server.closeAllConnections(), patienceMs)
  server.once('close', () => {
    clearInterval(sweep)
    clearTimeout(silent)
    clearTimeout(end)
  })
}
