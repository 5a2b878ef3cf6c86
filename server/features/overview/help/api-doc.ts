import type { OpenAPIV3_1 } from 'openapi-types'
import type { Call, Field, Words } from '../../../../web/pages/ApiDocs.tsx'
import { operationsOf } from '../../../http/openapi-document.ts'
import type { Schema } from '../../../http/openapi-examples.ts'

/** The OpenAPI document as the page shows it: calls by the thing they are about, then the shapes that have a name. */
export function apiDoc(document: OpenAPIV3_1.Document) {
  const schemas = (document.components?.schemas ?? {}) as Record<string, Schema>
  const calls = operationsOf(document).map(([method, operation, path]) => ({
    group: operation.tags?.[0] ?? '',
    call: callOf(method, path, operation, schemas),
  }))
  const groups = [...Map.groupBy(calls, ({ group }) => group)].map(([name, members]) => ({
    name,
    calls: members.map(({ call }) => call),
  }))
  const shapes = Object.entries(schemas)
    .map(([name, schema]) => ({ name, kind: kindOf(schema), fields: fieldsOf(schema) }))
    .sort((a, b) => a.name.localeCompare(b.name, 'en'))
  return { groups, shapes }
}

type Operation = ReturnType<typeof operationsOf>[number][1]

function callOf(method: string, path: string, operation: Operation, schemas: Record<string, Schema>): Call {
  const parameters = (operation.parameters ?? []) as OpenAPIV3_1.ParameterObject[]
  const body = operation.requestBody as OpenAPIV3_1.RequestBodyObject | undefined
  return {
    method: method.toUpperCase(),
    path,
    summary: operation.summary ?? '',
    access: (operation['x-access'] ?? 'member') as Call['access'],
    parameters: parameters.map((one) => ({
      where: one.in,
      ...field(one.name, one.schema as Schema, one.required ?? false, one.description),
    })),
    body: fieldsOf(resolved(schemaIn(body?.content), schemas)),
    bodyExample: exampleIn(body?.content),
    answers: Object.entries(operation.responses ?? {})
      .filter(([status]) => !status.endsWith('XX'))
      .map(([status, answer]) => answerOf(status, answer as OpenAPIV3_1.ResponseObject)),
  }
}

/** As it is sent, indented. */
const exampleIn = (content: OpenAPIV3_1.RequestBodyObject['content'] | undefined) => {
  const example: unknown = Object.values(content ?? {})[0]?.example
  return example === undefined ? null : JSON.stringify(example, null, 2)
}

const schemaIn = (content: OpenAPIV3_1.RequestBodyObject['content'] | undefined) =>
  Object.values(content ?? {})[0]?.schema as Schema | undefined

/** A schema that is a mere name, looked up: the fields of a body are shown where it is asked for. */
const resolved = (schema: Schema | undefined, schemas: Record<string, Schema>) =>
  schema?.$ref === undefined ? schema : schemas[nameOf(schema.$ref)]

function answerOf(status: string, answer: OpenAPIV3_1.ResponseObject): Call['answers'][number] {
  const schema = schemaIn(answer.content)
  const fields = fieldsOf(schema)
  const kind: Words = schema && fields.length === 0 ? kindOf(schema) : []
  return { status, words: answer.description, kind, fields, example: exampleIn(answer.content) }
}

function field(name: string, schema: Schema | undefined, required: boolean, description = ''): Field {
  const fallback = schema?.default === undefined ? '' : `${JSON.stringify(schema.default)} if left out`
  const note = [description || schema?.description, fallback].filter(Boolean).join('; ')
  return { name, kind: schema ? kindOf(schema) : [], required, note }
}

/** The fields of an object; those of an object within it follow it as `base.widthMm`, of a list's items as `failures[].seen`. */
export function fieldsOf(schema: Schema | undefined, prefix = ''): Field[] {
  if (schema === undefined) return []
  const options = [...(schema.anyOf ?? []), ...(schema.oneOf ?? []), ...(schema.allOf ?? [])]
  const inner = options.flatMap((option) => fieldsOf(option, prefix))
  const own = Object.entries(schema.properties ?? {}).flatMap(([name, value]) => {
    const path = `${prefix}${name}`
    const items = value.type === 'array' && value.items ? fieldsOf(value.items, `${path}[].`) : []
    return [field(path, value, schema.required?.includes(name) ?? false), ...fieldsOf(value, `${path}.`), ...items]
  })
  const all = [...own, ...inner]
  return all.filter(({ name }, index) => all.findIndex((other) => other.name === name) === index)
}

/** "NewUnit" of "#/components/schemas/NewUnit". */
const nameOf = (ref: string) => ref.split('/').at(-1) ?? ref

/** What a value is, in words: "text, 1 to 120 characters", "list of Money, at most 20", "day or null". */
export function kindOf(schema: Schema): Words {
  if (schema.$ref !== undefined) return [{ shape: nameOf(schema.$ref) }]
  const options = schema.anyOf ?? schema.oneOf
  if (options) return joined(options.map(kindOf))
  if (schema.enum) return [schema.enum.map((value) => JSON.stringify(value)).join(', ')]
  if (schema.const !== undefined) return [JSON.stringify(schema.const)]
  if (Array.isArray(schema.type)) return joined(schema.type.map((type) => kindOf({ ...schema, type })))
  if (schema.type === 'array') return listOf(schema)
  return [plain(schema)]
}

const joined = (options: Words[]): Words =>
  options.flatMap((words, index) => (index === 0 ? words : [' or ', ...words]))

function listOf({ items, prefixItems, minItems, maxItems }: Schema): Words {
  if (prefixItems)
    return ['list: ', ...prefixItems.map(kindOf).flatMap((words, at) => (at === 0 ? words : [' and ', ...words]))]
  const limit = range(minItems, maxItems)
  return ['list of ', ...(items ? kindOf(items) : ['anything']), ...(limit ? [` (${limit})`] : [])]
}

const formats: Record<string, string> = {
  uuid: 'id',
  date: 'day',
  'date-time': 'time',
  email: 'e-mail address',
  uri: 'link',
}

function plain(schema: Schema): string {
  const limits = range(schema.minimum ?? schema.exclusiveMinimum, schema.maximum)
  switch (schema.type) {
    case 'string': {
      if (schema.format !== undefined && formats[schema.format]) return formats[schema.format] ?? ''
      const length = range(schema.minLength, schema.maxLength)
      return length ? `text, ${length} characters` : 'text'
    }
    case 'integer':
      return limits ? `whole number, ${limits}` : 'whole number'
    case 'number':
      return limits ? `number, ${limits}` : 'number'
    case 'boolean':
      return 'true or false'
    case 'object':
      return 'object'
    case 'null':
      return 'null'
    default:
      return 'anything'
  }
}

// Whole numbers come with the widest limits that a program can hold; those say nothing.
const says = (limit: number | undefined) => limit !== undefined && Math.abs(limit) < Number.MAX_SAFE_INTEGER

function range(least: number | undefined, most: number | undefined): string {
  if (says(least) && says(most)) return least === most ? `${least}` : `${least} to ${most}`
  if (says(most)) return `at most ${most}`
  return says(least) ? `at least ${least}` : ''
}
