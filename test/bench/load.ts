import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { readFileSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { connect, type Socket } from 'node:net'
import { join } from 'node:path'
import { createInterface } from 'node:readline'

/** What came back while some connections asked for one page as fast as they got it. */
export interface Load {
  perSecond: number
  /** of each answer */
  took: number[]
  bytes: number
  /** processor time of the program that answered, all its threads together, in ms an answer */
  cpuMs: number
}

/** A program that answers at an address. */
export interface Target {
  pid: number
  address: string
}

/** What is asked for, anew for each answer: without a body a page, with one it is posted. */
export type Question = () => { path: string; body?: string }

/** The bare handlers (bare.ts) over a database. */
export async function startBare(url: string): Promise<Target & { end(): void }> {
  const child = spawn(process.execPath, [join(import.meta.dirname, 'bare.ts'), url], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const [line] = (await once(createInterface({ input: child.stdout }), 'line')) as [string]
  return { pid: child.pid ?? 0, address: line.replace('listens at ', ''), end: () => void child.kill() }
}

/**
 * Asks on so many connections for some seconds. Whoever asks spends next to nothing on it, since it shares the
 * processor with whoever answers: one write a question, and of the answer no more is read than its length.
 *
 * @throws Error for an answer other than 200 or 201
 */
export async function load(
  target: Target,
  question: Question,
  cookie: string,
  connections: number,
  seconds: number,
): Promise<Load> {
  const { hostname, port } = new URL(target.address)
  const took: number[] = []
  let bytes = 0
  const before = await cpuMsOf(target.pid)
  const began = performance.now()
  const until = began + 1000 * seconds
  const ask = async () => {
    const socket = connect(Number(port), hostname)
    await once(socket, 'connect')
    for (let now = performance.now(); now < until; ) {
      socket.write(written(question(), target.address, cookie))
      bytes = await answerOn(socket)
      const then = performance.now()
      took.push(then - now)
      now = then
    }
    socket.destroy()
  }
  await Promise.all(Array.from({ length: connections }, ask))
  const perSecond = (1000 * took.length) / (performance.now() - began)
  return { perSecond, took, bytes, cpuMs: ((await cpuMsOf(target.pid)) - before) / took.length }
}

function written({ path, body }: ReturnType<Question>, address: string, cookie: string): string {
  const who = `host: ${new URL(address).host}\r\ncookie: ${cookie}`
  if (body === undefined) return `GET ${path} HTTP/1.1\r\n${who}\r\n\r\n`
  const what = `content-type: application/json\r\ncontent-length: ${Buffer.byteLength(body)}`
  return `POST ${path} HTTP/1.1\r\n${who}\r\norigin: ${address}\r\n${what}\r\n\r\n${body}`
}

/** Waits for one whole answer. @returns the bytes of its body */
function answerOn(socket: Socket): Promise<number> {
  return new Promise((resolve, reject) => {
    const closed = () => reject(new Error('the connection was closed'))
    let head = ''
    let missing = Number.NaN
    let length = 0
    const more = (chunk: Buffer) => {
      if (Number.isNaN(missing)) {
        head += chunk.toString('latin1')
        const end = head.indexOf('\r\n\r\n')
        if (end < 0) return
        length = Number(/^content-length: (\d+)/im.exec(head.slice(0, end))?.[1])
        missing = length + end + 4 - head.length
      } else missing -= chunk.length
      if (missing > 0) return
      socket.off('data', more).off('close', closed)
      if (/^HTTP\/1.1 20[01]/.test(head) && missing === 0) resolve(length)
      else reject(new Error(`answered ${head.slice(0, 500)}`))
    }
    socket.on('data', more).once('close', closed)
  })
}

/** A tick of Linux's accounts. */
const tickMs = 10

/** Processor time of a program so far, in ms; NaN where Linux does not tell. */
async function cpuMsOf(pid: number): Promise<number> {
  const stat = await readFile(`/proc/${pid}/stat`, 'utf8').catch(() => '')
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ')
  return tickMs * (Number(fields[11]) + Number(fields[12]))
}

const dockerfile = readFileSync(new URL('../../server/Dockerfile', import.meta.url), 'utf8')
/** How the image has the C library hand out memory, for services whose memory is measured. */
export const allocation = Object.fromEntries(
  [...dockerfile.matchAll(/\b(MALLOC_\w+)=(\d+)/g)].map(([, name = '', value = '']) => [name, value]),
)

/** In MB, as Linux counts it; NaN elsewhere. */
export async function memoryOf(pid: number | undefined): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, 'utf8').catch(() => '')
  return Number(/^VmRSS:\s+(\d+) kB/m.exec(status)?.[1] ?? Number.NaN) / 1000
}
