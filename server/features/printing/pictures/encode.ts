import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
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

/** Sent to the thread: a picture, and what is cut off each side. */
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

// The compiler renames what is imported, but not this.
const path = new URL(import.meta.url.endsWith('.ts') ? './encode-thread.ts' : './encode-thread.js', import.meta.url)

let thread: Worker | undefined

/** One picture is decoded at a time, which bounds what that takes. */
const inLine = gate({ atOnce: 1, waiting: 32, refusal })

/**
 * Encodes a picture anew on a thread of its own: upright, cut, in two sizes, without anything of the original but its
 * pixels. A thread that dies, as by a picture that breaks its decoder, is replaced for the next one.
 *
 * @throws Problem 503 when too many wait already
 */
export const encode = (asked: Asked): Promise<Answer> =>
  inLine(async () => {
    // Its libraries are loaded by the first picture, and stay for the whole process, as sharp asks where threads use it.
    await import('sharp')
    // Flags of this process are not handed on: those of `node -e`, for one, would keep the thread from starting.
    thread ??= new Worker(path, { execArgv: [] })
    const answered = await ask(thread, asked)
    if (answered === undefined) thread = undefined
    return answered ?? { refusal: 'broken', because: 'the thread has ended' }
  })

/** @returns undefined where the thread ends without an answer */
async function ask(worker: Worker, asked: Asked): Promise<Answer | undefined> {
  const over = new AbortController()
  const { signal } = over
  // Between two pictures it keeps no process from ending.
  worker.ref()
  worker.postMessage(asked)
  const answer = once(worker, 'message', { signal }).then(([answered]) => answered as Answer)
  const end = once(worker, 'exit', { signal }).then(() => undefined)
  try {
    return await Promise.race([answer, end])
  } catch {
    return undefined
  } finally {
    worker.unref()
    over.abort()
    await Promise.allSettled([answer, end])
  }
}
