import type { Server } from 'node:http'
import swagger from '@fastify/swagger'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod'
import type { OpenAPIV3_1 } from 'openapi-types'
import { addressWith } from './address.ts'
import { mended } from './openapi-document.ts'
import type { App } from './route.ts'
import { sessionCookie } from './session.ts'

/**
 * A call that goes well answers with the status that its schema names; a thing that has versions with its ETag, one that was
 * made also with its place in the list that the path ends with, a page of a list with the link to the next (RFC 8288).
 */
function answerAsDescribed(api: App): void {
  api.addHook('preSerialization', async ({ url, routeOptions }, reply, payload) => {
    const { id, version, next } = (payload ?? {}) as { id?: string; version?: number; next?: string | null }
    if (version !== undefined) reply.header('etag', `"${version}"`)
    if (version !== undefined && reply.statusCode === 201 && !reply.hasHeader('location'))
      reply.header('location', `/api/v1/${routeOptions.url?.split('/').at(-1)}/${id}`)
    if (typeof next === 'string') reply.header('link', `<${addressWith(url, 'after', next)}>; rel="next"`)
  })
  api.addHook('onRoute', (route) => {
    const [status] = Object.keys(route.schema?.response ?? {})
    if (!/^2\d\d$/.test(status ?? '')) return
    const set = async (_request: FastifyRequest, reply: FastifyReply) => void reply.code(Number(status))
    route.preHandler = [set, route.preHandler ?? []].flat()
  })
}

type Transform = typeof jsonSchemaTransform
type TransformObject = typeof jsonSchemaTransformObject

/** By method and path (`GET /units/:id`): the operation's id, what it does in a line, and what else there is to say of it. */
export type Operations = Record<string, string[]>

/**
 * A route as an operation: grouped by the thing it is about, with its name and who may call it.
 *
 * @throws Error where a route has no name: it would be documented by nothing
 */
const describeRoute =
  (operations: Operations): Transform =>
  (input) => {
    const { schema, url } = jsonSchemaTransform(input)
    const access = input.route.config?.access ?? 'member'
    const more: Record<string, unknown> = { tags: [url.split('/')[3] ?? ''], 'x-access': access }
    if (!input.schema?.hide) {
      const call = `${input.route.method} ${url.replace('/api/v1', '')}`
      const [operationId, summary, description] = operations[call] ?? []
      if (operationId === undefined) throw new Error(`${call} has no name in operations.json`)
      Object.assign(more, { operationId, summary, ...(description && { description }) })
    }
    return { url, schema: { ...schema, ...more, ...(access === 'public' && { security: [] }) } }
  }

const describeAll: TransformObject = (input) => mended(jsonSchemaTransformObject(input) as OpenAPIV3_1.Document)

const documents = new WeakMap<Server, () => OpenAPIV3_1.Document>()

/** The OpenAPI document of the service, for pages: they are outside the part of it that the API is described in. */
export function apiDocument(app: App): OpenAPIV3_1.Document {
  const read = documents.get(app.server as Server)
  if (!read) throw new Error('the API is not described yet')
  return read()
}

/** Describes the routes registered after it as OpenAPI 3.1 and serves that at `openapi.json`. */
export async function describeApi(app: App, operations: Operations): Promise<void> {
  answerAsDescribed(app)
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Understudy',
        version: '1',
        description: 'Which file should I print to stand in for this unit, and what will it really cost me?',
      },
      components: {
        securitySchemes: { session: { type: 'apiKey', in: 'cookie', name: sessionCookie } },
      },
      security: [{ session: [] }],
    },
    transform: describeRoute(operations),
    transformObject: describeAll,
  })
  documents.set(app.server as Server, () => app.swagger() as OpenAPIV3_1.Document)
  app.get('/openapi.json', { config: { access: 'public' }, schema: { hide: true } }, () => app.swagger())
}
