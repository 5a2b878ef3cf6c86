import type { IncomingMessage, ServerResponse } from 'node:http'
import type { FastifyBaseLogger, FastifyInstance, RawServerDefault } from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Db } from '../../db/connect.ts'
import type { Assets } from '../../web/assets.ts'
import type { WriteLimits } from '../config.ts'
import { id } from './fields.ts'
import { pageOf } from './paging.ts'
import { problemSchema } from './problem.ts'
import type { Sessions, Viewer } from './session.ts'
import type { Wanted } from './version.ts'

/** Fastify with zod schemas: what a feature registers its routes on. */
export type App = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse<IncomingMessage>,
  FastifyBaseLogger,
  ZodTypeProvider
>

declare module 'fastify' {
  interface FastifyInstance {
    sessions: Sessions
    assets: Assets
    /** Whether the database can be read and written just now. @throws what a query would */
    isReady: () => Promise<unknown>
    /** The clock; tests set their own. */
    now: () => Date
    /** Whether setting up the group asks for the code that the log prints. */
    asksSetupCode: boolean
    /** How many changes a member may send. */
    writeLimits: WriteLimits
  }
  interface FastifyRequest {
    /** The database, or the transaction that this request runs in. Use it and no other. */
    db: Db
    /** Who is signed in. */
    viewer: Viewer | null
    /** Who is signed in, on a route that lets in nobody else. */
    member: Viewer
    /** The version of a thing that it means to change. */
    wanted: Wanted
    /** The day that it is for the member's group, `YYYY-MM-DD`. */
    today: string
  }
}

/** What the address of one thing names. */
export const byId = z.object({ id })

/** What a call about one thing is given. */
export const ofId = { params: byId }

/** The options of a page whose address has these parts. */
export const at = <Params extends z.ZodType>(params: Params) => ({ schema: { params } })

/** The options of a page that is about the thing in its address. */
export const withId = at(byId)

/** The options of a route for stewards (and the owner) alone, and for everybody, signed in or not. */
export const forStewards = { config: { access: 'steward' } } as const
export const forAll = { config: { access: 'public' } } as const

/** The options of a route whose answer is kept until anything is written (kept-answers.ts). */
export const sameUntilWritten = { config: { sameUntilWritten: true } }

/** The problem answers that any call of the API may give, for a route's `response`. */
export const problems = { '4xx': problemSchema, '5xx': problemSchema }

/** A call that tells this. @param given what it is given: params, querystring, body */
export const answers = <Told extends z.ZodType, Given extends object = object>(told: Told, given?: Given) => ({
  schema: { ...(given as Given), response: { 200: told, ...problems } },
})

/** A call that tells a list of these, a page at a time. */
export const lists = <Item extends z.ZodType, Given extends object = object>(item: Item, given?: Given) =>
  answers(pageOf(item), given)

/** A call that makes this. */
export const makes = <Made extends z.ZodType, Given extends object = object>(made: Made, given?: Given) => ({
  schema: { ...(given as Given), response: { 201: made, ...problems } },
})

/** A call that has nothing to tell once it is done. */
export const noContent = <Given extends object = object>(given?: Given) => ({
  schema: { ...(given as Given), response: { 204: z.null(), ...problems } },
})
