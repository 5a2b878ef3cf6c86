import { type ChildProcess, fork } from 'node:child_process'
import { once } from 'node:events'
import type { Crop } from '../../../../db/rows/printing.ts'
import type { KeptPicture } from '../../../http/face.ts'
import { gate } from '../../../http/gate.ts'
import { Problem } from '../../../http/problem.ts'
import { againS, type Refusal, refusals } from './rules.ts'

/** More comes in at once than can be taken. A form that it happens to comes back as it was typed. */
export class TurnedAway extends Problem {
  constructor() {
    super(503, refusals['too many at once'], { retryAfterS: againS, keepsForm: true })
  }
}

/** As a gate refuses. */
export const refusal = () => new TurnedAway()

/** Sent to the process: a picture, and what is cut off each side. */
export interface Asked {
  bytes: Uint8Array
  crop: Crop | null
}
/** A picture in its two sizes, as WebP; the hash is of the large one. */
export interface Encoded extends KeptPicture {
  large: Uint8Array
  small: Uint8Array
}
/** Sent back. */
export type Answer = Encoded | { refusal: Refusal; because: string }

/** What one picture may take. */
export interface Bounds {
  seconds: number
  /** of the whole process, which has about 80 when it does nothing */
  megabytes: number
}

/**
 * 64 million pixels take 6 seconds and 1,100 MB at most, as a PNG of 16 bits that is interlaced and turned. More is
 * taken by what is made to take it, since its head says nothing of that: thousands of scans, or texts that inflate.
 */
const usualBounds: Bounds = { seconds: 20, megabytes: 1200 }
/** A process that nobody needed for so long is ended. */
const idleMs = 60_000

// The compiler renames what is imported, but not this.
const path = new URL(import.meta.url.endsWith('.ts') ? './encode-process.ts' : './encode-process.js', import.meta.url)

/**
 * Encodes pictures anew in a process of their own: upright, cut, in two sizes, without anything of the original but its
 * pixels. A picture that takes too much, or breaks its decoder, ends that process and nothing else; the next one gets a
 * new one. A thread would not do: it can't be ended in the middle of a decoder's work, nor does it die alone.
 *
 * @returns encodes a picture; it throws a Problem 503 when too many wait already
 */
export function encoder(bounds: Bounds = usualBounds): (asked: Asked) => Promise<Answer> {
  // One picture is decoded at a time, which bounds what that takes.
  const inLine = gate({ atOnce: 1, waiting: 32, refusal })
  let running: ChildProcess | undefined
  let idle: NodeJS.Timeout | undefined
  return (asked) =>
    inLine(async () => {
      clearTimeout(idle)
      if (!running || hasEnded(running)) running = started(bounds)
      const answered = await ask(running, asked, bounds)
      idle = setTimeout(() => running?.disconnect(), idleMs).unref()
      return answered ?? { refusal: 'broken', because: 'its process has ended' }
    })
}

export const encode = encoder()

function started({ megabytes }: Bounds): ChildProcess {
  const child = fork(path, [String(megabytes)], {
    // Nothing of this process is handed on: neither its flags nor its secrets.
    execArgv: [],
    env: {},
    serialization: 'advanced',
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  })
  // What can't be sent to it any more is told by its end.
  return child.on('error', () => {})
}

const hasEnded = ({ connected, exitCode, signalCode }: ChildProcess) =>
  !connected || exitCode !== null || signalCode !== null

/** @returns undefined where the process ends without an answer, or is ended for the time that it takes */
async function ask(child: ChildProcess, asked: Asked, { seconds }: Bounds): Promise<Answer | undefined> {
  const over = new AbortController()
  const { signal } = over
  // Between two pictures it keeps this process from nothing.
  keepUp(child, true)
  const late = setTimeout(() => child.kill('SIGKILL'), 1000 * seconds)
  child.send(asked)
  const answer = once(child, 'message', { signal }).then(([answered]) => answered as Answer)
  const end = once(child, 'exit', { signal }).then(() => undefined)
  try {
    return await Promise.race([answer, end])
  } catch {
    return undefined
  } finally {
    clearTimeout(late)
    keepUp(child, false)
    over.abort()
    await Promise.allSettled([answer, end])
  }
}

function keepUp(child: ChildProcess, isNeeded: boolean): void {
  for (const one of [child, child.channel]) one?.[isNeeded ? 'ref' : 'unref']()
}
