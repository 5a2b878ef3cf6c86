import { join } from 'node:path'
import type { InjectOptions, LightMyRequestResponse } from 'fastify'
import type { Db } from '../../db/connect.ts'
import { type AppParts, buildApp } from '../../server/app.ts'
import { passwordCost } from '../../server/http/password-cost.ts'
import type { App } from '../../server/http/route.ts'
import { freshDatabase } from './database.ts'
import { noBundles } from './no-assets.ts'

// The pages only need names to link; the real bundle is built in the end-to-end tests.
const assets = { folder: join(import.meta.dirname, '..'), manifest: noBundles }

/** Tests send as much within a minute as no member does. */
export const withoutLimits = { perMinute: 1_000_000, perDay: 1_000_000 }

/** As the service has it: `Object.assign(passwordCost, usualCost)` where a test is about that. */
export const usualCost = { ...passwordCost }
/** The least that argon2 takes (RFC 9106, section 3.1: 8 KiB a lane): a thousandth of the work. */
export const leastCost = { memoryCost: 8, timeCost: 1, parallelism: 1 }
Object.assign(passwordCost, leastCost)

interface Over extends Partial<AppParts> {
  /** what stands between the service and its database, to watch it */
  through?: (db: Db) => Db
}

/** A fresh database with the service over it; `close` lets go of both. */
export async function startApp({ through = (db) => db, ...parts }: Over = {}) {
  const database = await freshDatabase()
  const app = await buildApp({
    db: through(database.db),
    ready: database.ready,
    assets,
    writeLimits: withoutLimits,
    logLevel: process.env.TEST_LOG ?? 'silent',
    ...parts,
  })
  return {
    app,
    db: database.db,
    place: database.place,
    async close() {
      await app.close()
      await database.close()
    },
  }
}

export const password = 'four unrelated words'

type Body = Record<string, unknown> | unknown[]
type Options = Pick<InjectOptions, 'headers'>

/** Somebody at the service: signed in by a cookie, or an outsider without one. Sends what a browser of ours would. */
export class Person {
  readonly app: App
  readonly id: string
  cookie: string | undefined

  constructor(app: App, id = '', cookie?: string) {
    this.app = app
    this.id = id
    this.cookie = cookie
  }

  /** Any call of the REST API; the path is relative to `/api/v1`. */
  call(method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE', path: string, body?: Body, options: Options = {}) {
    return this.send({ method, url: `/api/v1${path}`, ...(body && { payload: body }), ...options })
  }

  get = (path: string, options?: Options) => this.call('GET', path, undefined, options)
  post = (path: string, body?: Body, options?: Options) => this.call('POST', path, body, options)
  put = (path: string, body?: Body, options?: Options) => this.call('PUT', path, body, options)
  patch = (path: string, body?: Body, options?: Options) => this.call('PATCH', path, body, options)
  delete = (path: string, options?: Options) => this.call('DELETE', path, undefined, options)

  /** A page. */
  page = (url: string) => this.send({ method: 'GET', url, headers: {} })

  /** A posted form; several values of one name as a list. */
  submit(url: string, fields: Record<string, string | string[]>, more: Record<string, string> = {}) {
    const pairs = Object.entries(fields).flatMap(([name, value]) => [value].flat().map((one) => [name, one]))
    const headers = { 'content-type': 'application/x-www-form-urlencoded', ...more }
    return this.send({ method: 'POST', url, headers, payload: new URLSearchParams(pairs).toString() })
  }

  /** Goes on under the session that an answer opened, if it did, as a browser does. */
  keep(answer: LightMyRequestResponse): this {
    if (answer.cookies.some(({ value }) => value !== '')) this.cookie = cookieOf(answer)
    return this
  }

  private send(options: InjectOptions): Promise<LightMyRequestResponse> {
    const headers = { 'sec-fetch-site': 'same-origin', ...(this.cookie && { cookie: this.cookie }), ...options.headers }
    return this.app.inject({ ...options, headers })
  }
}

const cookieOf = (answer: LightMyRequestResponse) =>
  answer.cookies.map(({ name, value }) => `${name}=${value}`).join('; ')

/** Sets the group up and signs its owner in. */
export async function owner(app: App, currency = 'EUR', headers: Record<string, string> = {}): Promise<Person> {
  const email = 'owner@group.example'
  const group = { groupName: 'The Thursday table', currency, owner: { name: 'Odile', email, password } }
  const answer = await new Person(app).post('/setup', group, { headers })
  if (answer.statusCode !== 201) throw new Error(`set-up answered ${answer.statusCode}: ${answer.body}`)
  return new Person(app, answer.json().memberId, cookieOf(answer))
}

/** A member (or steward) who came in by an invitation of the owner's. */
export async function member(from: Person, name: string, role: 'member' | 'steward' = 'member'): Promise<Person> {
  const invited = await from.post('/invitations', { role, expiresInDays: 7, uses: 1 })
  const code = new URL(invited.json().url).pathname.split('/').at(-1)
  const email = `${name.toLowerCase()}@group.example`
  const answer = await new Person(from.app).post(`/invitations/${code}/accept`, { name, email, password })
  if (answer.statusCode !== 201) throw new Error(`joining answered ${answer.statusCode}: ${answer.body}`)
  return new Person(from.app, answer.json().memberId, cookieOf(answer))
}

/** A group of three over a fresh database: Odile owns it, Ada and Ben came in by invitation. */
export async function startGroup(parts: Over = {}) {
  const started = await startApp(parts)
  const odile = await owner(started.app)
  return { ...started, odile, ada: await member(odile, 'Ada'), ben: await member(odile, 'Ben') }
}

/** Nobody in particular: not signed in. */
export const outsider = (app: App) => new Person(app)
