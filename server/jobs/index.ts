import { fromPglite, type Job, PgBoss } from 'pg-boss'
import type { OpenDatabase } from '../../db/connect.ts'
import { readGroup } from '../http/group.ts'
import { fitWhenChanged, fitWhenDue } from './fit.ts'
import { tidy } from './tidy.ts'

export interface JobParts {
  database: OpenDatabase
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

type JobName = 'fit-when-due' | 'every-night'

/** A process that has died is noticed after so long, and its job given to another. */
const silentS = 60
/** No job takes longer: a full fit of a million reports is a matter of minutes. */
const longestS = 3600

/**
 * Starts what runs in the background: the full fit, looked after every minute and done where it is due, and what has to
 * be tidied up every night. However many processes do this, each job is done by one of them at a time.
 */
export async function startJobs({
  database,
  log,
  now = () => new Date(),
  everyS = 15,
}: JobParts): Promise<RunningJobs> {
  const { db, access } = database
  const boss = new PgBoss({
    ...('url' in access
      ? { connectionString: access.url, max: 2 }
      : { db: fromPglite(access.pglite), backend: 'pglite' as const }),
  })
  boss.on('error', (error) => log.error({ err: error }, 'jobs'))
  await boss.start()
  const stopping = new AbortController()

  const run = async (name: JobName, cron: string, work: (signal: AbortSignal) => Promise<unknown>) => {
    // `exclusive`: while one is queued or at work, no other is taken in.
    const options = { retryLimit: 3, retryDelay: 30, heartbeatSeconds: silentS, expireInSeconds: longestS }
    await boss.createQueue(name, { policy: 'exclusive', ...options, deleteAfterSeconds: 86_400 })
    await boss.work(name, { pollingIntervalSeconds: everyS }, async ([job]: Job[]) => {
      const signal = job ? AbortSignal.any([stopping.signal, job.signal]) : stopping.signal
      const done = await work(signal)
      if (done) log.info({ done }, name)
    })
    // A computer that is off at night does it when it is on again.
    await boss.schedule(name, cron, null, { tz: (await readGroup(db))?.timeZone ?? 'UTC', missed: 'once' })
  }
  await run('fit-when-due', '* * * * *', (signal) => fitWhenDue(db, signal))
  await run('every-night', '17 3 * * *', async (signal) => {
    await tidy(database, now())
    return fitWhenChanged(db, signal)
  })

  return {
    async ask(name) {
      await boss.send(name)
    },
    async stop() {
      stopping.abort(new Error('the service is stopping'))
      await boss.stop({ graceful: true, timeout: 8_000 })
    },
  }
}
