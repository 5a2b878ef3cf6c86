import { z } from 'zod'
import { money } from './fields.ts'

type Schema = z.core.$ZodType

/** What a schema takes at one place of a form. */
export interface Field {
  kind: 'text' | 'secret' | 'number' | 'flag' | 'list' | 'group' | 'money'
  /** Left empty, it is nothing: `null`. */
  mayBeNull: boolean
  /** Left empty, it is the empty text. */
  mayBeEmpty: boolean
  /** The field of this name within it, of a group or a sum of money. */
  inner(name: string): Field | undefined
}

const known = new WeakMap<Schema, Field>()

/**
 * How a form's texts are read for a schema: read off it once, and kept.
 *
 * @throws Error for a kind of schema that no form of ours has
 */
export function fieldOf(schema: Schema): Field {
  const found = known.get(schema) ?? read(schema as z.core.$ZodTypes)
  known.set(schema, found)
  return found
}

const leaf = (kind: Field['kind']): Field => ({ kind, mayBeNull: false, mayBeEmpty: false, inner: () => undefined })
const group = (inner: Field['inner'], kind: Field['kind'] = 'group'): Field => ({ ...leaf(kind), inner })

function read(schema: z.core.$ZodTypes): Field {
  const { def } = schema._zod
  switch (def.type) {
    case 'optional':
    case 'nonoptional':
    case 'default':
    case 'prefault':
    case 'catch':
    case 'readonly':
      return fieldOf(def.innerType)
    case 'nullable':
      return { ...fieldOf(def.innerType), mayBeNull: true }
    case 'pipe':
      return def.in._zod.def.type === 'transform' ? fieldOf(def.out) : textOr(fieldOf(def.in), schema)
    case 'union':
      return unionOf(def.options.map(fieldOf), schema)
    case 'object':
      return group((name) => innerOf(def.shape, name), schema === money ? 'money' : 'group')
    case 'record':
      return group(() => fieldOf(def.valueType))
    case 'array':
      return leaf('list')
    case 'number':
      return leaf('number')
    case 'boolean':
      return leaf('flag')
    case 'null':
      return { ...leaf('text'), mayBeNull: true }
    case 'string':
    case 'enum':
    case 'literal':
    case 'unknown':
      return textOr(leaf('text'), schema)
    default:
      throw new Error(`no form of ours is read for a schema of the type ${def.type}`)
  }
}

const innerOf = (shape: z.core.$ZodShape, name: string) =>
  Object.hasOwn(shape, name) && shape[name] ? fieldOf(shape[name]) : undefined

/** A text may be empty where its own schema, with all its rules, lets the empty one in. */
function textOr(field: Field, schema: z.core.$ZodTypes): Field {
  if (field.kind !== 'text' && field.kind !== 'secret') return field
  const isSecret = z.globalRegistry.get(schema)?.format === 'password'
  const mayBeEmpty = schema._zod.def.type !== 'unknown' && z.safeParse(schema, '').success
  return { ...field, kind: isSecret ? 'secret' : field.kind, mayBeEmpty }
}

/** Of several schemas a field is read by the first that is not just nothing; groups put their fields together. */
function unionOf(options: readonly Field[], schema: z.core.$ZodTypes): Field {
  const mayBeNull = options.some((option) => option.mayBeNull)
  const isGroup = options.some(({ kind }) => kind === 'group')
  if (isGroup) return { ...group((name) => options.flatMap((option) => option.inner(name) ?? [])[0]), mayBeNull }
  const first = options.find((option) => option.kind !== 'text') ?? leaf('text')
  return textOr({ ...first, mayBeNull }, schema)
}
