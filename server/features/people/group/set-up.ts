import type { FastifyRequest } from 'fastify'
import type { z } from 'zod'
import { countTry, placeOf } from '../../../http/attempts.ts'
import { note, noted } from '../../../http/events.ts'
import { Problem } from '../../../http/problem.ts'
import { checkSetupCode, setUpGroup } from './queries.ts'
import type { newGroup } from './schema.ts'

/** How often somebody may try the set-up code. */
export const setupTries = { tries: 10, windowS: 900 }

/**
 * Sets the group up by this request, and tells the log of those who try it without the code.
 *
 * @returns the owner, to be signed in
 * @throws Problem 409 on an installation that has its group, 422 without the right code, 429
 */
export async function setUp(request: FastifyRequest, set: z.infer<typeof newGroup>) {
  const { db, server } = request
  await countTry(db, [`setup from ${placeOf(request.ip)}`], setupTries, server.now()).catch(noted(request))
  if (server.asksSetupCode)
    await checkSetupCode(db, set.setupCode).catch((error: unknown) => {
      if (error instanceof Problem) note(request, 'set-up code wrong')
      throw error
    })
  return setUpGroup(db, set)
}
