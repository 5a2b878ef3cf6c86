import swagger from '@fastify/swagger'
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod'
import type { App } from './app-type.ts'
import { problemSchema } from './problem.ts'
import { sessionCookie } from './session.ts'

/** The problem answers that any call of the API may give, for a route's `response`. */
export const problems = { '4xx': problemSchema, '5xx': problemSchema }

/** Describes the routes registered after it as OpenAPI 3.1 and serves that at `openapi.json`. */
export async function describeApi(app: App): Promise<void> {
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
    transform: jsonSchemaTransform,
    transformObject: jsonSchemaTransformObject,
  })
  app.get('/openapi.json', { config: { access: 'public' }, schema: { hide: true } }, () => app.swagger())
}
