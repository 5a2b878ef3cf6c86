import type { FastifyReply } from 'fastify'
import { note } from '../../../http/events.ts'
import { Problem } from '../../../http/problem.ts'
import { signIn } from '../../../http/sign-in.ts'
import type { Wanted } from '../../../http/version.ts'
import type { ChangedMe } from '../members/schema.ts'
import { changeMe } from './queries.ts'

/**
 * Changes oneself by this request. A new password ends all sessions, and this browser goes on under a new id: whoever
 * has learnt the old one is out.
 *
 * @throws Problem as `changeMe`
 */
export async function changeOneself(reply: FastifyReply, change: ChangedMe, wanted?: Wanted) {
  const { request } = reply
  const { me, was, known } = await changeMe(request.db, request.member, change, wanted).catch((error: unknown) => {
    if (isWrongPassword(error)) note(request, 'password wrong')
    throw error
  })
  if (known) {
    await signIn(reply, known, 'new password')
    note(request, 'password changed')
  }
  if (change.email !== undefined && change.email !== was) note(request, 'address changed')
  return me
}

const isWrongPassword = (error: unknown) =>
  error instanceof Problem && error.errors.some(({ path }) => path === '/password/old')
