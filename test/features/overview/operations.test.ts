import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { z } from 'zod'
import { features } from '../../../server/features/index.ts'
import { apiDocument } from '../../../server/http/openapi.ts'
import { operationsOf } from '../../../server/http/openapi-document.ts'
import type { App } from '../../../server/http/route.ts'
import { outsider, startApp } from '../../support/app.ts'

type Route = { body?: z.ZodType; response?: Record<string, z.ZodType> }

/** The schemas of every call, by method and path, as the features register them. */
function routeSchemas(app: App): Map<string, Route> {
  const found = new Map<string, Route>()
  const note = (method: string) => (path: string, options: { schema?: Route }) =>
    found.set(`${method} ${path}`, options.schema ?? {})
  const methods = ['get', 'post', 'put', 'patch', 'delete'].map((method) => [method, note(method)])
  const listener: App = Object.assign(Object.create(app), Object.fromEntries(methods))
  for (const { api } of features) api?.(listener)
  return found
}

describe('each call of the API', () => {
  let app: App
  let close: () => Promise<void>
  let calls: ReturnType<typeof operationsOf>
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    await app.ready()
    calls = operationsOf(apiDocument(app))
  })
  afterAll(() => close())

  test('has an id of its own, a summary and a tag', () => {
    const ids = calls.map(([, { operationId }]) => operationId)
    expect(new Set(ids).size).toBe(calls.length)
    for (const [method, { operationId, summary, tags }, path] of calls) {
      expect([method, path, operationId]).toEqual([method, path, expect.stringMatching(/^[a-z][A-Za-z]+$/)])
      expect([method, path, summary]).toEqual([method, path, expect.stringMatching(/^[A-Z].{4,}[^.]$/)])
      expect([method, path, tags]).toEqual([method, path, [expect.stringMatching(/^[a-z]/)]])
    }
  })

  test('has an example of what it takes and what it answers, which its own schema lets in', () => {
    const schemas = routeSchemas(app)
    const wrong = calls.flatMap(([method, operation, path]) => {
      const name = path.replace('/api/v1', '').replaceAll(/\{(\w+)\}/g, ':$1')
      const { body, response } = schemas.get(`${method} ${name}`) ?? {}
      const taken = (operation.requestBody as { content?: Record<string, { example?: unknown }> } | undefined)?.content
      const answered = Object.entries(response ?? {}).filter(([status]) => /^2\d\d$/.test(status) && status !== '204')
      const examples: [string, z.ZodType, unknown][] = [
        ...(body ? [['takes', body, Object.values(taken ?? {})[0]?.example] as [string, z.ZodType, unknown]] : []),
        ...answered.map(([status, schema]): [string, z.ZodType, unknown] => {
          const answer = operation.responses?.[status] as
            | { content?: Record<string, { example?: unknown }> }
            | undefined
          return [status, schema, Object.values(answer?.content ?? {})[0]?.example]
        }),
      ]
      return examples.flatMap(([what, schema, example]) => {
        const { error } = schema.safeParse(example)
        return error
          ? [`${method} ${name} ${what}: ${error.issues.map(({ path: at, message }) => `${at.join('/')} ${message}`)}`]
          : []
      })
    })
    expect(wrong).toEqual([])
  })

  test('is told on the page in one line, and unfolds to its fields and examples', async () => {
    const { body } = await outsider(app).page('/api')
    const untold = calls.filter(([, { summary = '' }]) => !body.includes(summary))
    expect(untold).toEqual([])
    expect(body.match(/<details class="disclosure" open/g)).toBeNull()
    expect(body.includes('&quot;9.00&quot;')).toBe(true)
  })
})
