import type { FastifyInstance } from 'fastify'
import type { WriteLimits } from '../config.ts'
import { isChange } from './access.ts'
import { type Allowance, countTryTwice } from './attempts.ts'
import { Problem } from './problem.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Not counted among the changes of a member: whoever has used theirs up must still be able to do it. */
    uncounted?: boolean
  }
}

/**
 * Counts the changes that each member sends, so that nobody, nor whoever has got at their account, fills the database or
 * takes it from the others. What is open to everybody counts its own tries.
 */
export function limitWrites(app: FastifyInstance, { perMinute, perDay }: WriteLimits): void {
  // After the body is read, so that a refused form can be shown again.
  app.addHook('preValidation', async (request) => {
    const { access, uncounted } = request.routeOptions.config
    if (!request.viewer || request.is404 || uncounted || access === 'public' || !isChange(request.method)) return
    const { id } = request.viewer
    const aMinute = { key: `changes a minute by ${id}`, tries: perMinute, windowS: 60 }
    const aDay = { key: `changes a day by ${id}`, tries: perDay, windowS: 86_400 }
    const refused = await countTryTwice(request.db, aMinute, aDay, app.now())
    if (!refused) return
    const { usedUp, retryAfterS } = refused
    throw new Problem(429, wordsFor(usedUp, retryAfterS), { retryAfterS })
  })
}

function wordsFor({ tries, windowS }: Allowance, retryAfterS: number): string {
  const wait = retryAfterS <= 90 ? `${retryAfterS} seconds` : `${Math.ceil(retryAfterS / 60)} minutes`
  return `You have sent more than ${tries} changes within a ${windowS === 60 ? 'minute' : 'day'}. Please send this again in ${wait}.`
}
