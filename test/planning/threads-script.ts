import { parentPort } from 'node:worker_threads'
import type { FromWorker, ToWorker } from '../../server/planning/messages.ts'
import { planRoster } from '../../server/planning/plan-roster.ts'
import { openSolver } from '../../server/planning/solver.ts'
import { inGoodTime } from './rosters.ts'

/** A solver's thread that does as the first entry is called. */
const send = (message: FromWorker) => parentPort?.postMessage(message)

parentPort?.on('message', async ({ instance }: ToWorker) => {
  const [entry] = instance.entries
  const result = planRoster(instance, { solver: await openSolver(), until: inGoodTime() })
  if (entry?.id === 'exit') process.exit(3)
  if (entry?.id === 'throw') throw new Error('out of paper')
  if (entry?.id === 'hang after better') send({ kind: 'better', result })
  if (entry?.id.startsWith('hang')) Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0)
  if (entry?.id === 'slow') await new Promise((resolve) => setTimeout(resolve, 300))
  if (entry?.id === 'fail') send({ kind: 'failed', reason: 'Aborted' })
  else send({ kind: 'done', result, memoryBytes: entry?.id === 'large' ? 2 ** 30 : 2 ** 20 })
})
