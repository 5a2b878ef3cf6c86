import type { OpenAPIV3_1 } from 'openapi-types'
import type { Call, Field, Words } from '../../../../web/pages/ApiDocs.tsx'
import { operationsOf } from '../../../http/openapi-document.ts'
import type { Schema } from '../../../http/openapi-examples.ts'
import { kindOf, nameOf } from './kinds.ts'

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
