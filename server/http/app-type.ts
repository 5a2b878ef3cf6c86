import type { IncomingMessage, ServerResponse } from 'node:http'
import type { FastifyBaseLogger, FastifyInstance, RawServerDefault } from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import type { Db } from '../../db/connect.ts'
import type { Assets } from '../../web/assets.ts'
import type { WriteLimits } from '../config.ts'
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
