import { setPriority } from 'node:os'
import { parentPort } from 'node:worker_threads'
import type { Asked } from './fit-place.ts'
import { FitWork } from './fit-work.ts'

/** Nobody waits for a fit, which may take a minute: whoever waits for a page goes first. */
const niceness = 19

// On Linux this is about the calling thread alone, elsewhere about the whole service.
if (process.platform === 'linux') setPriority(niceness)

/** The other end of `fitPlace`: carries out the steps that it is asked for, in their order. One that fails ends the thread. */
const work = new FitWork()

parentPort?.on('message', async ({ step, given }: Asked) => {
  // What is asked for comes from fit-place.ts alone, which gives each step what it takes.
  parentPort?.postMessage(await work[step](given as never))
})
