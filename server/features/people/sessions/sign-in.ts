import type { FastifyReply } from 'fastify'
import type { z } from 'zod'
import { note } from '../../../http/events.ts'
import { Problem } from '../../../http/problem.ts'
import { signIn } from '../../../http/sign-in.ts'
import { idByAddress, memberByPassword } from './queries.ts'
import type { credentials } from './schema.ts'

/**
 * Signs in on this browser whoever has this address and this password.
 *
 * @throws Problem 422 when the two don't go together, 409 when the password is changed at this very moment, 429
 */
export async function signInByPassword(reply: FastifyReply, given: z.infer<typeof credentials>) {
  const { request } = reply
  try {
    const found = await memberByPassword(request.db, given, request.ip, request.server.now())
    await signIn(reply, found, 'password')
    return found
  } catch (error) {
    if (error instanceof Problem)
      note(request, 'sign-in failed', { status: error.status, memberId: await idByAddress(request.db, given.email) })
    throw error
  }
}
