import { fromPglite, type Job, PgBoss } from 'pg-boss'
import type { OpenDatabase } from '../../db/connect.ts'
import type { PictureStore } from '../features/printing/pictures/store.ts'
import { temporaryStore } from '../features/printing/pictures/stores.ts'
import { readGroup } from '../http/group.ts'
import { fitWhenDue, watchForFit } from './fit.ts'
import { watchForGone } from './pictures.ts'
import { tidy } from './tidy.ts'

export interface JobParts {
  database: OpenDatabase
  /** Where the bytes of pictures are; a folder that goes with this process if left out. */
  pictures?: PictureStore
  log: { info(what: object, message: string): void; error(what: object, message: string): void }
  now?: () => Date
  /** How often this process asks for something to do, in seconds. */
  everyS?: number
}

export interface RunningJobs {
  /** Has whatever is due done now, without waiting for its hour. */
  ask(name: JobName): Promise<void>
  /** Breaks off what runs, hands it back to be done by another process or the next time, and lets go. */
  stop(): Promise<void>
}

type JobName = 'fit' | 'every-night'

/** Of earlier editions. */
const formerJob = 'fit-when-due'

/** A process that has died is noticed after so long, and its job given to another. */
const silentS = 60
/**
 * Whatever pg-boss writes by itself counts as a write, and has pages worked out anew (http/kept-answers.ts). It would do so
 * every few seconds, for what nobody uses here: jobs that wait for others, and a list of its processes.
 */
const seldom = {
  flowIntervalSeconds: 86_400,
  bamIntervalSeconds: 600,
  cronMonitorIntervalSeconds: 45,
  registerInstance: false,
}
/** No job takes longer: a full fit of a million reports is a matter of minutes. */
const longestS = 3600

/**
 * Starts what runs in the background: the fit, a moment after something that it depends on has changed, and what has to be
 * tidied up every night. However many processes do this, each job is done by one of them at a time.
 */
export async function startJobs({
  database,
  pictures = temporaryStore(),
  log,
  now = () => new Date(),
  everyS = 15,
}: JobParts): Promise<RunningJobs> {
  const { db, access } = database
  const boss = new PgBoss({
    ...seldom,
    ...('url' in access
      ? { connectionString: access.url, max: 2 }
      : { db: fromPglite(access.pglite), backend: 'pglite' as const }),
  })
  boss.on('error', (error) => log.error({ err: error }, 'jobs'))
  await boss.start()
  const stopping = new AbortController()

  const run = async (name: JobName, work: (signal: AbortSignal) => Promise<unknown>) => {
    // `exclusive`: while one is queued or at work, no other is taken in.
    const options = { retryLimit: 3, retryDelay: 5, heartbeatSeconds: silentS, expireInSeconds: longestS }
    await boss.createQueue(name, { policy: 'exclusive', ...options, deleteAfterSeconds: 3600 })
    return boss.work(name, { pollingIntervalSeconds: everyS }, async ([job]: Job[]) => {
      const signal = job ? AbortSignal.any([stopping.signal, job.signal]) : stopping.signal
      const done = await work(signal)
      if (done) log.info({ done }, name)
    })
  }
  await boss.unschedule(formerJob)
  await boss.deleteQueue(formerJob)
  const fitting = await run('fit', (signal) => fitWhenDue(db, signal))
  const watching = watchForFit(db, stopping.signal, async () => {
    await boss.send('fit')
    boss.notifyWorker(fitting)
  })
  const sweeping = watchForGone({ db, store: pictures }, stopping.signal)
  await run('every-night', () => tidy(database, pictures, now()))
  // A computer that is off at night does it when it is on again.
  await boss.schedule('every-night', '17 3 * * *', null, {
    tz: (await readGroup(db))?.timeZone ?? 'UTC',
    missed: 'once',
  })

  return {
    async ask(name) {
      await boss.send(name)
    },
    async stop() {
      stopping.abort(new Error('the service is stopping'))
      await Promise.all([watching, sweeping])
      await boss.stop({ graceful: true, timeout: 8_000 })
    },
  }
}
