import type { FastifyRequest } from 'fastify'
import { lookUp } from './entries.ts'
import type { LookedUp } from './paste/queries.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** What the lines of a pasted list may mean, where one was sent. */
    lookedUp: LookedUp | undefined
  }
}

/** For routes that take a pasted list as `text`: looks it up before the transaction in which it is added. */
export const looksUp = {
  async preHandler(request: FastifyRequest) {
    const { text } = (request.body ?? {}) as { text?: unknown }
    if (typeof text === 'string') request.lookedUp = await lookUp(request.db, request.member.group, text)
  },
}
