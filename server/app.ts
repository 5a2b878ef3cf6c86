import cookie from '@fastify/cookie'
import statics from '@fastify/static'
import fastify, { type FastifyRequest } from 'fastify'
import { serializerCompiler, type ZodTypeProvider } from 'fastify-type-provider-zod'
import { sql } from 'kysely'
import type { Db } from '../db/connect.ts'
import { type Assets, assetsAt, type Manifest } from '../web/assets.ts'
import { usualWriteLimits, type WriteLimits } from './config.ts'
import { features } from './features/index.ts'
import operations from './features/operations.json' with { type: 'json' }
import { takePictures } from './features/printing/pictures/reading.ts'
import type { PictureStore } from './features/printing/pictures/store.ts'
import { temporaryStore } from './features/printing/pictures/stores.ts'
import { guardLateBodies, guardRoutes } from './http/access.ts'
import { readableAddress, withoutCodes } from './http/address.ts'
import { bodyLimit, readForms, readJsonBodies, refuseForms, takeNoJson } from './http/body.ts'
import { answerBroken, answerStrangeExpectations } from './http/broken.ts'
import { compressAnswers } from './http/compressing.ts'
import { answerErrors } from './http/errors.tsx'
import { todayIn } from './http/group.ts'
import { secureAnswers } from './http/headers.ts'
import { keepAnswers } from './http/kept-answers.ts'
import { describeApi } from './http/openapi.ts'
import { keepToOneHost } from './http/origin.ts'
import { postOnce } from './http/post-once.ts'
import { readInTurn } from './http/reading.ts'
import type { App } from './http/route.ts'
import { openSessions } from './http/session.ts'
import { stopPatiently } from './http/stopping.ts'
import { validateByZod } from './http/validation.ts'
import { wantedBy } from './http/version.ts'
import { limitWrites } from './http/write-limits.ts'

export interface AppParts {
  db: Db
  /** Folder and manifest of the built style sheet and script. */
  assets: { folder: string; manifest: Manifest; style?: string }
  logLevel?: string
  /** Where the log goes, a line at a time; standard output if left out. */
  logTo?: { write(line: string): void }
  trustProxy?: boolean
  /** Origin at which members reach the service; undefined where nobody but this machine does. */
  publicUrl?: string | undefined
  /** Whether setting up an empty installation asks for a code (`makeSetupCode`): not where nobody but this machine gets in. */
  asksSetupCode?: boolean
  /** Whether the database can be read and written (`OpenDatabase.ready`); a query tells where nothing is said of it. */
  ready?: () => Promise<unknown>
  /** Where the bytes of pictures are; a folder that goes with this process if left out. */
  pictures?: PictureStore
  /** How many changes a member may send. */
  writeLimits?: WriteLimits
  /** Bytes of whole answers that are kept until something is written. */
  mostKept?: number
  /** The clock, for tests. */
  now?: () => Date
}

/** The whole service, ready to listen or to be asked by `inject`. It opens no port and owns no database. */
export async function buildApp(parts: AppParts): Promise<App> {
  const app = fastify({
    logger: {
      level: parts.logLevel ?? 'silent',
      serializers: { req: loggedRequest },
      ...(parts.logTo && { stream: parts.logTo }),
    },
    // The one proxy in front: what it saw itself counts, not what a client wrote into X-Forwarded-For before it.
    trustProxy: parts.trustProxy ? (_address, hop) => hop === 0 : false,
    bodyLimit,
    // A parameter may be as long as an address: its schema says what it has to be, and answers like any other.
    routerOptions: { maxParamLength: 65_536 },
    rewriteUrl: readableAddress,
    requestTimeout: 120_000,
    // A request without a host is answered by `keepToOneHost`, with the headers of every other answer.
    http: { requireHostHeader: false },
    clientErrorHandler: answerBroken(parts.publicUrl),
  }).withTypeProvider<ZodTypeProvider>()

  app.setValidatorCompiler(validateByZod)
  app.setSerializerCompiler(serializerCompiler)
  decorate(app, parts)

  stopPatiently(app)
  answerStrangeExpectations(app)
  secureAnswers(app)
  keepToOneHost(app, parts.publicUrl, parts.trustProxy)
  await app.register(cookie)
  await compressAnswers(app)
  await serveAssets(app, parts.assets.folder)
  takeNoJson(app)
  readForms(app)
  answerErrors(app)
  guardRoutes(app)
  keepAnswers(app, parts.mostKept)
  limitWrites(app, app.writeLimits)
  await takePictures(app, parts.pictures ?? temporaryStore())
  guardLateBodies(app)
  postOnce(app)
  readInTurn(app)

  for (const { pages } of features) pages?.(app)
  await app.register(
    async (api: App) => {
      refuseForms(api)
      readJsonBodies(api)
      await describeApi(api, operations)
      for (const feature of features) feature.api?.(api)
    },
    { prefix: '/api/v1' },
  )
  return app
}

/** What every route may ask of the application and of its request. */
function decorate(app: App, { db, assets, ...parts }: AppParts): void {
  app.decorate('sessions', openSessions(db))
  app.decorate('assets', assetsAt('/assets', assets.manifest, assets.style) satisfies Assets)
  app.decorate('now', parts.now ?? (() => new Date()))
  app.decorate('isReady', parts.ready ?? (() => sql`select 1`.execute(db)))
  app.decorate('asksSetupCode', parts.asksSetupCode ?? false)
  app.decorate('writeLimits', parts.writeLimits ?? usualWriteLimits)
  app.decorateRequest('db')
  app.decorateRequest('viewer', null)
  app.decorateRequest('member', {
    getter(this: FastifyRequest) {
      if (!this.viewer) throw new Error('this route lets in people who are not signed in')
      return this.viewer
    },
  })
  app.decorateRequest('today', {
    getter(this: FastifyRequest) {
      return todayIn(this.member.group.timeZone, this.server.now())
    },
  })
  app.decorateRequest('wanted', {
    getter(this: FastifyRequest) {
      return wantedBy(this)
    },
  })
  app.addHook('onRequest', async (request) => {
    request.db = db
  })
}

async function serveAssets(app: App, root: string): Promise<void> {
  await app.register(async (open) => {
    // The sign-in page wants its style sheet, too.
    open.addHook('onRoute', (route) => {
      route.config = { ...route.config, access: 'public' }
    })
    await open.register(statics, { root, prefix: '/assets/', immutable: true, maxAge: '1y' })
    // At the root, since a worker may look after what lies under its own address; asked for anew each time.
    open.get('/service-worker.js', (_request, reply) =>
      reply.sendFile('service-worker.js', { immutable: false, maxAge: 0 }),
    )
  })
}

/** What the log keeps of a request: no headers, and no code that lets people in. */
const loggedRequest = ({ method, url, headers, ip }: FastifyRequest) => ({
  method,
  url: withoutCodes(url),
  host: headers.host ?? '',
  ip,
})
