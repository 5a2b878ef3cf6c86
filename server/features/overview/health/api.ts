import { z } from 'zod'
import { cannotBeSaved, databaseIsAway } from '../../../../db/failures.ts'
import { noRoom, Problem } from '../../../http/problem.ts'
import type { App } from '../../../http/route.ts'

const fine = z.object({ status: z.literal('ok') })

/** For whatever watches the service: is the process up, and can it read and write its database, and keep pictures? */
export function healthRoutes(app: App): void {
  // Asked every few seconds; its answers would drown the log.
  const open = {
    logLevel: 'warn' as const,
    config: { access: 'public' as const, anyHost: true },
    schema: { response: { 200: fine } },
  }
  app.get('/health/live', open, async () => ({ status: 'ok' as const }))
  app.get('/health/ready', open, async () => {
    try {
      await app.isReady()
      await app.pictures.ready?.()
    } catch (error) {
      if (databaseIsAway(error)) throw new Problem(503, 'The database cannot be reached.', { retryAfterS: 5 })
      if (cannotBeSaved(error)) throw new Problem(503, noRoom, { retryAfterS: 60 })
      throw error
    }
    return { status: 'ok' as const }
  })
}
