import { AsyncLocalStorage } from 'node:async_hooks'
import { createHash } from 'node:crypto'
import { hash as hashSlowly } from '@node-rs/argon2'
import type { FastifyInstance, FastifyReply, FastifyRequest, RouteHandlerMethod } from 'fastify'
import { sql } from 'kysely'
import { z } from 'zod'
import type { Db } from '../../db/connect.ts'
import { isCall } from './address.ts'
import { passwordCost } from './password-cost.ts'
import { Problem } from './problem.ts'

/*
 * Writing twice by accident: a POST with an Idempotency-Key (over REST) or a hidden field `once` (from a page) is
 * carried out once. The whole handler runs in one transaction together with the record of its answer, so a crash
 * leaves both or neither, and a second one at the same moment waits for the first on the unique key.
 */

declare module 'fastify' {
  interface FastifyContextConfig {
    /** The answer holds a secret that is told this once: it is not kept, so a repetition is refused (409). */
    tellsOnce?: boolean
    /** Carried out twice it comes to the same as once, so it needs no transaction around it, nor a record. */
    harmlessTwice?: boolean
    /** A password is among what is sent: it is told apart by a hash that is slow to guess at. */
    hearsSecret?: boolean
  }
}

const answerHeaders = ['location', 'etag'] as const

/** Carries a refusal (4xx) out of the transaction, which must not keep what the handler wrote before it refused. */
class Refused extends Error {
  readonly payload: unknown
  constructor(payload: unknown) {
    super('refused')
    this.payload = payload
  }
}

const running = new AsyncLocalStorage<Db>()

/**
 * Takes back what the handler wrote so far, so that it can go on and show its form again: after a refused statement
 * PostgreSQL takes no other in the same transaction. Outside such a transaction there is nothing to take back.
 */
export async function takeBack(): Promise<void> {
  const trx = running.getStore()
  if (trx) await sql`rollback to savepoint before_work`.execute(trx)
}

function keyOf(request: FastifyRequest): { key: string; isForm: boolean } | undefined {
  const header = request.headers['idempotency-key']
  const field = (request.body as { once?: unknown } | undefined)?.once
  const key = header ?? (isCall(request) ? undefined : field)
  if (key === undefined || key === '') return undefined
  if (typeof key !== 'string' || !/^[\x21-\x7e]{1,200}$/.test(key))
    throw new Problem(400, 'An Idempotency-Key has 1 to 200 visible ASCII characters.')
  return { key, isForm: header === undefined }
}

async function hashOf(body: string, salt: string, isSlow: boolean): Promise<string> {
  if (!isSlow) return digest(body).toString('base64url')
  // As slow as the hash of the password itself.
  return hashSlowly(body, { ...passwordCost, salt: digest(salt) })
}

const digest = (text: string) => createHash('sha256').update(text).digest()

const kept = z.object({
  status: z.int(),
  headers: z.record(z.string(), z.string()),
  body: z.object({ payload: z.unknown() }).nullable(),
})

/**
 * The answer that was kept, as far as this version of the program gives such answers.
 *
 * @throws Problem 409 for one that an earlier version gave in another form
 */
function repeated(request: FastifyRequest, row: object): z.infer<typeof kept> {
  const answer = kept.safeParse(row)
  const responses = request.routeOptions.schema?.response as Record<string, unknown> | undefined
  const schema = answer.success ? responses?.[answer.data.status] : undefined
  const fits = !(schema instanceof z.ZodType) || z.safeEncode(schema, answer.data?.body?.payload).success
  if (answer.success && fits) return answer.data
  throw new Problem(409, 'This has been done already, by an earlier version of the service. Look at what came of it.')
}

async function earlier(db: Db, memberId: string, key: string) {
  return db
    .selectFrom('answeredPost')
    .select(['route', 'bodyHash', 'status', 'headers', 'body'])
    .where('memberId', '=', memberId)
    .where('key', '=', key)
    .executeTakeFirstOrThrow()
}

async function answerOnce(
  request: FastifyRequest,
  reply: FastifyReply,
  given: { key: string; isForm: boolean },
  work: () => Promise<unknown>,
) {
  const memberId = request.viewer?.id
  if (!memberId) return work()
  const { tellsOnce: isSecret = false, hearsSecret = false } = request.routeOptions.config
  const route = `${request.method} ${request.url.split('?')[0]}`
  const bodyHash = await hashOf(JSON.stringify(request.body ?? null), `${memberId} ${given.key}`, hearsSecret)
  // A browser keeps the hidden field when somebody goes back to the form: with other words in it, it is sent anew.
  const key = given.isForm ? `${given.key} ${digest(`${route} ${bodyHash}`).toString('base64url')}` : given.key
  const outer = request.db
  try {
    return await outer.transaction().execute(async (trx) => {
      const mine = await trx
        .insertInto('answeredPost')
        .values({ memberId, key, route, bodyHash })
        .onConflict((c) => c.columns(['memberId', 'key']).doNothing())
        .executeTakeFirst()
      if (mine.numInsertedOrUpdatedRows === 0n) {
        const first = await earlier(trx, memberId, key)
        if (first.route !== route || first.bodyHash !== bodyHash)
          throw new Problem(422, 'This Idempotency-Key was used before with a different body.')
        if (isSecret) throw new Problem(409, 'This has been done already. The secret in its answer is shown only once.')
        const { status, headers, body } = repeated(request, first)
        reply.code(status).headers(headers)
        return body?.payload
      }
      request.db = trx
      await sql`savepoint before_work`.execute(trx)
      const payload = await running.run(trx, work)
      if (reply.statusCode >= 400) throw new Refused(payload)
      const headers = answerHeaders.map((name) => [name, reply.getHeader(name)] as const).filter(([, value]) => value)
      await trx
        .updateTable('answeredPost')
        .set({
          status: reply.statusCode,
          headers: JSON.stringify(Object.fromEntries(headers)),
          body: isSecret ? null : JSON.stringify({ payload }),
        })
        .where('memberId', '=', memberId)
        .where('key', '=', key)
        .execute()
      return payload
    })
  } catch (error) {
    if (error instanceof Refused) return error.payload
    throw error
  } finally {
    request.db = outer
  }
}

/**
 * Wraps every POST registered after it. Handlers must return their payload, never call `reply.send`.
 *
 * Public ones (signing in, joining, setting up) are left alone: they count tries, which a refusal must not take back,
 * and open sessions. Nor is there a member whose key it could be.
 */
export function postOnce(app: FastifyInstance): void {
  app.addHook('onRoute', (route) => {
    if (route.method !== 'POST' || route.config?.access === 'public' || route.config?.harmlessTwice) return
    const inner = route.handler as RouteHandlerMethod
    route.handler = async function (this: FastifyInstance, request, reply) {
      const work = async () => inner.call(this, request, reply)
      const given = keyOf(request)
      return given ? answerOnce(request, reply, given, work) : work()
    }
  })
}
