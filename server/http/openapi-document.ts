import type { OpenAPIV3_1 } from 'openapi-types'
import { addExamples } from './openapi-examples.ts'

type Document = OpenAPIV3_1.Document
type Operation = OpenAPIV3_1.OperationObject & { 'x-access'?: string }
type Schemas = Record<string, OpenAPIV3_1.SchemaObject>

const prefix = '#/components/schemas/'
const refs = (part: unknown) =>
  [...JSON.stringify(part).matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/g)].map((found) => found[1] ?? '')

/**
 * Mends what the generator leaves: schemas that nothing refers to, every schema twice (once as `…Input`, whether it
 * goes in or comes out), problem answers as plain JSON, answers without a description, headers that every call of a
 * kind takes, examples.
 */
export function mended(document: Document): Document {
  const schemas = used(document)
  const names = shortNames(Object.keys(schemas))
  const text = JSON.stringify({ ...document, components: { ...document.components, schemas: renamed(schemas, names) } })
  const done = JSON.parse(
    text.replace(/"#\/components\/schemas\/([^"]+)"/g, (_all, name: string) => `"${prefix}${names.get(name) ?? name}"`),
  ) as Document
  for (const [method, operation] of operationsOf(done)) {
    finish(method, operation)
    addExamples(operation, (done.components?.schemas ?? {}) as Parameters<typeof addExamples>[1])
  }
  return done
}

/** The schemas that a call refers to, directly or by way of others. */
function used(document: Document): Schemas {
  const all = (document.components?.schemas ?? {}) as Schemas
  const found = new Set<string>()
  const open = refs(document.paths)
  for (let name = open.pop(); name !== undefined; name = open.pop()) {
    if (found.has(name)) continue
    found.add(name)
    open.push(...refs(all[name] ?? {}))
  }
  return Object.fromEntries(Object.entries(all).filter(([name]) => found.has(name)))
}

/** `NewUnitInput` is `NewUnit` unless both are in use. */
const shortNames = (names: string[]) =>
  new Map(
    names.map((name) => {
      const short = name.replace(/Input$/, '')
      return [name, names.includes(short) ? name : short]
    }),
  )

const renamed = (schemas: Schemas, names: Map<string, string>): Schemas =>
  Object.fromEntries(Object.entries(schemas).map(([name, schema]) => [names.get(name) ?? name, schema]))

/** Every call of the document with its method. */
export const operationsOf = (document: Document): [method: string, operation: Operation, path: string][] =>
  Object.entries(document.paths ?? {}).flatMap(([path, item]) =>
    (['get', 'post', 'put', 'patch', 'delete'] as const).flatMap((method) => {
      const operation = item?.[method] as Operation | undefined
      return operation ? [[method, operation, path] as [string, Operation, string]] : []
    }),
  )

const words: Record<string, string> = {
  200: 'Done',
  201: 'Made',
  202: 'Begun',
  204: 'Done, without a body',
  '4XX': 'Refused: the caller can do something about it',
  '5XX': 'Failed on our side',
}

function finish(method: string, operation: Operation): void {
  for (const [status, answer] of Object.entries(operation.responses ?? {})) {
    if ('$ref' in answer) continue
    answer.description = words[status] ?? answer.description
    const problem = status.endsWith('XX') ? answer.content?.['application/json'] : undefined
    if (problem) answer.content = { 'application/problem+json': problem }
  }
  if (operation['x-access'] === 'public') return
  if (method === 'post') addHeader(operation, 'Idempotency-Key', 'Sent again with the same key, it is done once.')
  if (method === 'patch') addHeader(operation, 'If-Match', "The ETag that reading gave; needed for others' things.")
}

function addHeader(operation: Operation, name: string, description: string): void {
  const header = { in: 'header', name, description, required: false, schema: { type: 'string' as const } }
  operation.parameters = [...(operation.parameters ?? []), header]
}
