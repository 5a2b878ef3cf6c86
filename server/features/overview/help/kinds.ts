import type { Words } from '../../../../web/pages/ApiDocs.tsx'
import type { Schema } from '../../../http/openapi-examples.ts'

/** "NewUnit" of "#/components/schemas/NewUnit". */
export const nameOf = (ref: string) => ref.split('/').at(-1) ?? ref

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
