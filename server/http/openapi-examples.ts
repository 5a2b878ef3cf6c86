import type { OpenAPIV3_1 } from 'openapi-types'
import { exampleId } from './fields.ts'

/** As much of JSON Schema as our own document uses. */
export interface Schema {
  $ref?: string
  type?: string | string[]
  format?: string
  description?: string
  default?: unknown
  const?: unknown
  examples?: unknown[]
  enum?: unknown[]
  properties?: Record<string, Schema>
  required?: string[]
  items?: Schema
  prefixItems?: Schema[]
  anyOf?: Schema[]
  oneOf?: Schema[]
  allOf?: Schema[]
  minLength?: number
  maxLength?: number
  minItems?: number
  maxItems?: number
  minimum?: number
  maximum?: number
  exclusiveMinimum?: number
  multipleOf?: number
  additionalProperties?: boolean | Schema
}

type Schemas = Record<string, Schema>

/** What stands for a field by its name, where its schema does not say more. */
const byName: Record<string, string | number> = {
  amount: '9.00',
  currency: 'EUR',
  looks: '1.50',
  url: 'https://shelf.example/lanterns',
  locale: 'en-GB',
  timeZone: 'Europe/Dublin',
  name: 'Fen Wardens',
  title: 'Marsh Sentries',
  groupName: 'The Thursday table',
  email: 'ada@group.example',
  password: 'four unrelated words',
  label: '1.1',
  sha256: '3f1c'.repeat(16),
  code: 'kept-by-whoever-was-invited',
  setting: 'The Drowned March',
  scaleMm: 28,
  widthMm: 32,
  heightMm: 41,
  resinMl: 9.5,
  layerUm: 50,
  modelsPerUnit: 10,
  wanted: 10,
  tried: 4,
  good: 3,
  copies: 1,
}

const byFormat: Record<string, string> = {
  uuid: exampleId,
  date: '2026-03-14',
  'date-time': '2026-03-14T19:30:00.000Z',
  email: 'ada@group.example',
  uri: 'https://shelf.example/lanterns',
}

/**
 * A value of a schema, as an example for whoever reads the documentation: what the schema gives as one, else one of its
 * words, else something by format or by the field's name.
 *
 * @param name of the field that it is the value of
 */
export function exampleOf(schema: Schema | undefined, schemas: Schemas, name = ''): unknown {
  if (schema === undefined) return undefined
  if (schema.$ref) return exampleOf(schemas[schema.$ref.split('/').at(-1) ?? ''], schemas, name)
  if (schema.examples) return schema.examples[0]
  if (schema.const !== undefined) return schema.const
  if (schema.enum) return schema.enum[0]
  const options = schema.anyOf ?? schema.oneOf
  if (options) return exampleOf(options.find(({ type }) => type !== 'null') ?? options[0], schemas, name)
  if (schema.allOf) return Object.assign({}, ...schema.allOf.map((part) => exampleOf(part, schemas, name)))
  return exampleOfType(schema, schemas, name)
}

function exampleOfType(schema: Schema, schemas: Schemas, name: string): unknown {
  const type = [schema.type].flat().find((one) => one !== 'null')
  if (type === 'object') return objectOf(schema, schemas)
  if (schema.prefixItems) return schema.prefixItems.map((item) => exampleOf(item, schemas, name))
  if (type === 'array') return [exampleOf(schema.items, schemas, name.replace(/s$/, ''))]
  if (type === 'boolean') return true
  if (type === 'string') return textOf(schema, name)
  if (type === 'number' || type === 'integer') return numberOf(schema, name)
  return null
}

function objectOf({ properties = {} }: Schema, schemas: Schemas): Record<string, unknown> {
  const all = Object.entries(properties as Schemas).map(([name, value]) => [name, exampleOf(value, schemas, name)])
  return Object.fromEntries(all.filter(([, value]) => value !== undefined))
}

function textOf({ format, minLength = 0 }: Schema, name: string): string {
  const known = (format && byFormat[format]) ?? byName[name] ?? (/(^id|Id)$/.test(name) ? exampleId : undefined)
  return typeof known === 'string' ? known : 'in words'.padEnd(minLength, '.')
}

function numberOf({ minimum, maximum, exclusiveMinimum, multipleOf }: Schema, name: string): number {
  const least = minimum ?? (typeof exclusiveMinimum === 'number' ? exclusiveMinimum + (multipleOf ?? 1) : 0)
  const wanted = typeof byName[name] === 'number' ? byName[name] : 1
  return Math.min(Math.max(wanted, least), maximum ?? Number.POSITIVE_INFINITY)
}

type Operation = OpenAPIV3_1.OperationObject

/** Gives what a call takes and what it answers an example each, where they have a body. */
export function addExamples(operation: Operation, schemas: Schemas): void {
  const body = operation.requestBody as OpenAPIV3_1.RequestBodyObject | undefined
  const answers = Object.entries(operation.responses ?? {}).filter(([status]) => /^2\d\d$/.test(status))
  const contents = [body?.content, ...answers.map(([, answer]) => ('content' in answer ? answer.content : undefined))]
  for (const media of contents.flatMap((content) => Object.values(content ?? {}))) {
    const example = exampleOf(media.schema as Schema | undefined, schemas)
    if (example !== null && example !== undefined) media.example = example
  }
}
