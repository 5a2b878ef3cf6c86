import { EventEmitter, once } from 'node:events'
import { connect, createServer, type Server, type Socket } from 'node:net'

/** Stands between the service and its PostgreSQL server, to be shut and opened again. */
export interface Gate {
  /** Address of the database by way of the gate. */
  url: string
  /** Cuts every connection and lets nobody through. */
  shut(): Promise<void>
  open(): Promise<void>
  /** Until so many more messages of the service have gone through. */
  heard(messages: number): Promise<void>
}

/** @param url of the database: over the network, or by a socket file (`?host=`) */
export async function gateTo(url: string): Promise<Gate> {
  const target = new URL(url)
  const folder = target.searchParams.get('host')
  const port = Number(target.port || 5432)
  const through = new Set<Socket>()
  let server: Server | undefined
  let gatePort = 0
  const messages = new EventEmitter()

  const open = async () => {
    server = createServer((inside) => {
      const outside = folder ? connect(`${folder}/.s.PGSQL.${port}`) : connect(port, target.hostname)
      inside.on('data', () => messages.emit('one'))
      for (const [one, other] of [
        [inside, outside],
        [outside, inside],
      ] as const) {
        through.add(one)
        one.on('error', () => {})
        one.once('close', () => {
          through.delete(one)
          other.destroy()
        })
        one.pipe(other)
      }
    })
    await new Promise<void>((resolve) => server?.listen(gatePort, '127.0.0.1', resolve))
    const address = server.address()
    if (typeof address === 'object' && address) gatePort = address.port
  }
  await open()

  target.searchParams.delete('host')
  target.hostname = '127.0.0.1'
  target.port = String(gatePort)
  return {
    url: target.href,
    open,
    async heard(count) {
      for (let left = count; left > 0; left--) await once(messages, 'one')
    },
    async shut() {
      const closed = new Promise((resolve) => server?.close(resolve))
      for (const socket of through) socket.destroy()
      await closed
    },
  }
}
