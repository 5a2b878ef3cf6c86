import type { FastifyRequest } from 'fastify'
import { lookUp } from './entries.ts'
import { type LookedUp, unitsNearBeside } from './paste/queries.ts'
import { rosterRow } from './queries.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** What the lines of a pasted list may mean, where one was sent, or those of a roster that is copied. */
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

/** The same for the copy of a roster, whose entries without a unit are told with what they may mean. */
export const looksUpCopied = {
  async preHandler(request: FastifyRequest) {
    const { db, member, params } = request
    const { id } = await rosterRow(db, member, (params as { id: string }).id)
    const unknown = db.selectFrom('rosterEntry').select('words').where('rosterId', '=', id).where('unitId', 'is', null)
    const words = (await unknown.execute()).map((entry) => entry.words)
    request.lookedUp = await unitsNearBeside(db, words, undefined)
  },
}
