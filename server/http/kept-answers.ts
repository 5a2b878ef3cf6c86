import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { v7 } from 'uuid'
import { isSecure } from './origin.ts'
import { sessionHashOf } from './session.ts'
import { lacksStyle } from './style.ts'

/*
 * Whole answers, kept until anything is written.
 *
 * The statement that every request begins with, who is it that asks, also brings which transactions are over by then
 * (`pg_current_snapshot`). What is over stays over, so two equal texts mean that nothing was committed from the one to the
 * other: a page that was worked out after the first would come out the same, to the byte, after the second. Whoever is not
 * signed in any more, has left, or may no longer look here has been turned away before, by that same statement. One member's
 * answers are found by nobody else, nor under another session. Two processes on one database need not know of each other.
 * What is written in another database of the same server counts as well, and what pg-boss notes of itself about every half
 * minute (jobs/index.ts): either costs a page that is worked out for nothing.
 *
 * What else an answer depends on is in its key (`keyOf`). A form's `once` is another one in each answer.
 */

declare module 'fastify' {
  interface FastifyContextConfig {
    /** What is answered depends on nothing but the member, the address, the group's day and the database. */
    sameUntilWritten?: boolean
  }
  interface FastifyRequest {
    /** What of the database was over when the session was looked up; undefined: this answer is not kept. */
    snapshot: string | undefined
    /** Under what its answer may be kept: as it was when it was asked for, since a day may end before there is an answer. */
    keptUnder: string | undefined
  }
}

interface Kept {
  snapshot: string
  headers: ReturnType<FastifyReply['getHeaders']>
  /** what stands before, between and after the values of `once` */
  pieces: Buffer[]
  bytes: number
}

/** Of all answers together; about two hundred pages. */
const usualMostKept = 8 * 1024 * 1024
/** What an answer takes besides its bytes and its key, which holds an address of any length: headers, and what holds them. */
const around = 4096

/** Keeps the answers of routes that ask for it (`sameUntilWritten`). @param mostBytes of all together; 0: none is kept */
export function keepAnswers(app: FastifyInstance, mostBytes = usualMostKept): void {
  const answers = new Map<string, Kept>()
  let bytes = 0
  const drop = (key: string) => {
    bytes -= answers.get(key)?.bytes ?? 0
    answers.delete(key)
  }

  const find = async (request: FastifyRequest, reply: FastifyReply) => {
    const key = keyOf(request)
    request.keptUnder = key
    const answer = key === undefined ? undefined : answers.get(key)
    if (key === undefined || answer === undefined || answer.snapshot !== request.snapshot) return
    neverKeep(request)
    // What was asked for longest ago stands first, and goes first.
    answers.delete(key)
    answers.set(key, answer)
    return reply.headers(answer.headers).send(joined(answer.pieces))
  }

  const keep = async (request: FastifyRequest, reply: FastifyReply, payload: unknown) => {
    const { snapshot, keptUnder: key } = request
    if (key === undefined || snapshot === undefined || typeof payload !== 'string') return
    if (reply.statusCode !== 200 || reply.hasHeader('set-cookie')) return
    const pieces = payload.split(onceValue).map((piece) => Buffer.from(piece))
    const size = Buffer.byteLength(payload) + key.length + around
    const answer = { snapshot, headers: reply.getHeaders(), pieces, bytes: size }
    drop(key)
    answers.set(key, answer)
    bytes += answer.bytes
    for (const oldest of answers.keys()) {
      if (bytes <= mostBytes) break
      drop(oldest)
    }
  }

  app.decorateRequest('snapshot', undefined)
  app.decorateRequest('keptUnder', undefined)
  app.addHook('onRoute', (route) => {
    if (!route.config?.sameUntilWritten || mostBytes === 0) return
    // After the guard, which is everybody's, and before the answer is compressed.
    route.onRequest = [route.onRequest ?? [], find].flat()
    route.onSend = [keep, route.onSend ?? []].flat()
  })
}

/** Has the answer to this request not kept: it shows what passes while nothing is written. */
export function neverKeep(request: FastifyRequest): void {
  request.snapshot = undefined
}

/**
 * All that an answer depends on besides the database: whose it is, what was asked, the day, and whether there is TLS.
 *
 * @returns undefined where it can't be kept: a first page brings the style sheet
 */
function keyOf(request: FastifyRequest): string | undefined {
  const { method, viewer, snapshot, url } = request
  if (method !== 'GET' || !viewer || snapshot === undefined || lacksStyle(request)) return undefined
  return [sessionHashOf(request), isSecure(request), request.today, url].join(' ')
}

/** As `Form` writes it. No text of a member's can hold these quotation marks. */
const onceValue = /(?<=name="once" value=")[\w-]{36}/

const joined = (pieces: readonly Buffer[]) =>
  Buffer.concat(pieces.flatMap((piece, place) => (place === 0 ? piece : [Buffer.from(v7()), piece])))
