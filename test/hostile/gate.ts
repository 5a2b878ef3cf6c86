import { connect, createServer, type Server, type Socket } from 'node:net'

/** Stands between the service and its PostgreSQL server, to be shut and opened again. */
export interface Gate {
  /** Address of the database by way of the gate. */
  url: string
  /** Cuts every connection and lets nobody through. */
  shut(): Promise<void>
  open(): Promise<void>
}

/** @param url of the database: over the network, or by a socket file (`?host=`) */
export async function gateTo(url: string): Promise<Gate> {
  const target = new URL(url)
  const folder = target.searchParams.get('host')
  const port = Number(target.port || 5432)
  const through = new Set<Socket>()
  let server: Server | undefined
  let gatePort = 0

  const open = async () => {
    server = createServer((inside) => {
      const outside = folder ? connect(`${folder}/.s.PGSQL.${port}`) : connect(port, target.hostname)
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
    async shut() {
      const closed = new Promise((resolve) => server?.close(resolve))
      for (const socket of through) socket.destroy()
      await closed
    },
  }
}
