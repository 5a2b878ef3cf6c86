import type { OpenAPIV3_1 } from 'openapi-types'

export type Document = OpenAPIV3_1.Document
type Schema = OpenAPIV3_1.SchemaObject & { $ref?: string; items?: Schema; prefixItems?: Schema[] }
/** The steps to a place in a body; a list is entered by "0". */
export type Path = string[]

export const pointer = (path: Path) => path.map((step) => `/${step}`).join('')

function bodySchemaOf(document: Document, route: string): Schema | undefined {
  const [method = '', path = ''] = route.split(' ')
  const pattern = new RegExp(`^${path.replace(/:\w+/g, '\\{\\w+\\}')}$`)
  const [, item] = Object.entries(document.paths ?? {}).find(([key]) => pattern.test(key)) ?? []
  const operation = item?.[method.toLowerCase() as 'post']
  const body = operation?.requestBody as OpenAPIV3_1.RequestBodyObject | undefined
  return body?.content['application/json']?.schema as Schema | undefined
}

/** Whether the route of the API takes a body. */
export const takesBody = (document: Document, route: string) => bodySchemaOf(document, route) !== undefined

interface Places {
  values: Path[]
  objects: Path[]
}

/** Where the body of a route can have a value, and where an object that could have an unknown field. */
export function placesOf(document: Document, route: string): Places {
  const resolved = (schema: Schema) =>
    schema.$ref ? (document.components?.schemas?.[schema.$ref.split('/').at(-1) ?? ''] as Schema) : schema
  const within = (schema: Schema, at: Path): Places => {
    const all = [schema, ...((schema.anyOf ?? []) as Schema[]), ...((schema.allOf ?? []) as Schema[])].map(resolved)
    const inner = all.flatMap((one) => [
      ...Object.entries(one.properties ?? {}).map(([name, value]) => within(value as Schema, [...at, name])),
      ...[one.items, ...(one.prefixItems ?? [])].flatMap((item) => (item ? [within(item, [...at, '0'])] : [])),
    ])
    return {
      values: [...(at.length > 0 ? [at] : []), ...inner.flatMap(({ values }) => values)],
      objects: [...(all.some((one) => one.properties) ? [at] : []), ...inner.flatMap(({ objects }) => objects)],
    }
  }
  return within(bodySchemaOf(document, route) ?? {}, [])
}

/** The body with another value at a place. Whatever has to stand around it is made. */
export function placed(body: unknown, [step, ...rest]: Path, value: unknown): unknown {
  if (step === undefined) return value
  const isList = /^\d+$/.test(step)
  const around = (typeof body === 'object' && body !== null ? structuredClone(body) : isList ? [] : {}) as object
  const before = (around as Record<string, unknown>)[step]
  Object.defineProperty(around, step, { ...plainly, value: placed(before, rest, value) })
  return around
}
const plainly = { enumerable: true, configurable: true, writable: true }
