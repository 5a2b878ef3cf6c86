import { v7 } from 'uuid'
import type { z } from 'zod'
import type { Errors, FormState, Values } from '../../web/parts/form.tsx'
import { bodyOf, mayBeBlank } from './form-body.ts'
import { takeBack } from './post-once.ts'
import { type FieldError, fieldErrors, Problem } from './problem.ts'

/** A form as it came in: what was typed, what was wrong with it, and the way on. */
export interface Filled<T> extends FormState {
  /**
   * Carries it out if the schema lets it in.
   *
   * @returns what `work` gave, or undefined when the form was refused; `errors` then says why
   */
  submit<R>(work: (data: T) => Promise<R>): Promise<R | undefined>
}

// Sent by our forms, but no part of the body: the double-press guard and the state that the form was made from.
const ownFields = new Set(['once', 'version'])

/** An empty form, or one with starting values. */
export const blank = (values: Values = {}): FormState => ({ values, errors: {} })

/**
 * A thing as the values of the form that changes it: each field by its name there, such as `base.widthMm` for one within
 * another. What it says nothing of is left empty.
 */
export function valuesFrom(thing: object, within = ''): Values {
  const values = Object.entries(thing).map(([name, value]): Values => {
    const field = `${within}${name}`
    if (value === null || value === undefined) return { [field]: '' }
    if (Array.isArray(value)) return { [field]: value.map(String) }
    return typeof value === 'object' ? valuesFrom(value, `${field}.`) : { [field]: String(value) }
  })
  return Object.assign({}, ...values)
}

/** Hidden field that makes a second press of the same button harmless (see post-once.ts). */
export const once = () => ({ once: v7() })

/** Hidden fields of a form that changes something: the state that it was made from, and the guard of `once`. */
export const madeFrom = (version: number) => ({ version: String(version), ...once() })

/** The version a form was made from; undefined when it carries none. */
export function versionOf(body: unknown): number | undefined {
  const text = (body as { version?: unknown } | undefined)?.version
  return typeof text === 'string' && /^\d{1,9}$/.test(text) ? Number(text) : undefined
}

/**
 * Reads a posted form against the same schema as the REST body.
 *
 * @param whole the form shows the whole thing to be changed: a blank that means nothing is refused
 */
export function readForm<S extends z.ZodType>(schema: S, body: unknown, { whole = false } = {}): Filled<z.output<S>> {
  const values = textsOf(body)
  const parsed = schema.safeParse(bodyOf(values, schema))
  const blanks = whole ? blanksIn(values, schema) : {}
  const form: Filled<z.output<S>> = {
    values,
    errors: { ...blanks, ...(!parsed.success && named(fieldErrors(parsed.error), values)) },
    async submit(work) {
      if (!parsed.success || Object.keys(form.errors).length > 0) return undefined
      try {
        return await work(parsed.data)
      } catch (error) {
        form.errors = refusal(error, values)
        await takeBack()
        return undefined
      }
    },
  }
  return form
}

/** The fields of a whole form that were left blank and can't be: a change would keep them as they were, in silence. */
function blanksIn(values: Values, schema: z.ZodType): Errors {
  const blanks = Object.entries(values).filter(
    ([name, value]) => String(value).trim() === '' && !mayBeBlank(name, schema),
  )
  return Object.fromEntries(blanks.map(([name]) => [name, 'Please fill this in.']))
}

const overtaken =
  'Somebody changed this after you opened it, or you did in another window. What you typed stands here and is not kept yet. Look at what is there now, then send this again if it is to stand in its place.'

/** What the member can mend in the form, or send once more; anything else goes on to the error page. */
function refusal(error: unknown, values: Values): Errors {
  if (!(error instanceof Problem && (error.keepsForm || [409, 412, 422, 429].includes(error.status)))) throw error
  if (error.status === 412) return { '': overtaken }
  return error.errors.length > 0 ? named(error.errors, values) : { '': error.message }
}

function textsOf(body: unknown): Values {
  const texts: [string, string | string[]][] = Object.entries((body ?? {}) as Record<string, unknown>)
    .filter(([name]) => !ownFields.has(name))
    .map(([name, value]) => [name, Array.isArray(value) ? value.map(String) : String(value)])
  return Object.fromEntries(texts)
}

/** JSON pointers as field names: "/base/widthMm" is `base.widthMm`, "/aliases/3" is `aliases`. */
function named(errors: FieldError[], values: Values): Errors {
  const found: Errors = {}
  for (const { path, message } of errors) {
    const steps = path.split('/').slice(1)
    while (steps.length > 1 && !Object.hasOwn(values, steps.join('.')) && /^\d+$/.test(steps.at(-1) ?? '')) steps.pop()
    const name = steps.join('.')
    found[name] ??= message
  }
  return found
}
