import type { z } from 'zod'
import type { Values } from '../../web/parts/form.tsx'
import { type Field, fieldOf } from './form-fields.ts'

/** A posted field: its name by steps, and what the schema takes at each of them. */
interface Posted {
  steps: string[]
  fields: (Field | undefined)[]
}

/**
 * Makes the body that the REST API takes of a form's texts, by the schema of that body: numbers, lists and flags become
 * such, passwords stay as typed, and what was left empty is `null`, the empty text or left out, as the schema allows.
 * What can't be read as its field wants it stays the typed text, and the schema says why not.
 */
export function bodyOf(values: Values, schema: z.core.$ZodType): unknown {
  const body: Record<string, unknown> = Object.create(null)
  const blanks: Posted[] = []
  for (const [name, value] of Object.entries(values)) {
    if (isIdleCurrency(name, values)) continue
    const posted = postedAs(name, schema)
    const made = readValue(posted, value)
    if (made === undefined) blanks.push(posted)
    else place(body, posted.steps, made)
  }
  // After all that has content: a group of fields is empty when each of them is.
  for (const posted of blanks) fillBlank(body, posted)
  return body
}

/** Whether a field may be left blank in a form that shows the whole thing: blank means something then. */
export function mayBeBlank(name: string, schema: z.core.$ZodType): boolean {
  const { fields } = postedAs(name, schema)
  const last = fields.at(-1)
  return last?.kind === 'list' || last?.mayBeEmpty === true || fields.some((field) => field?.mayBeNull)
}

function postedAs(name: string, schema: z.core.$ZodType): Posted {
  const steps = name.split('.')
  let around: Field | undefined = fieldOf(schema)
  const fields = steps.map((step) => {
    around = around?.inner(step)
    return around
  })
  return { steps, fields }
}

/** A currency is chosen even where no amount was typed; then there is no money at all. */
function isIdleCurrency(name: string, values: Values): boolean {
  const amount = name.endsWith('.currency') ? values[name.replace(/currency$/, 'amount')] : undefined
  return amount !== undefined && String(amount).trim() === ''
}

/** @returns undefined for a blank */
function readValue({ fields }: Posted, value: string | string[]): unknown {
  const [field, around] = [fields.at(-1), fields.at(-2)]
  // The lines of a text area, or what was ticked in a group of boxes.
  if (field?.kind === 'list')
    return [value]
      .flat()
      .flatMap((one) => one.split(/\r?\n/))
      .map((one) => one.trim())
      .filter(Boolean)
  const typed = [value].flat()[0] ?? ''
  const text = field?.kind === 'secret' ? typed : typed.trim()
  if (text === '') return undefined
  if (field?.kind === 'flag') return text === 'true' ? true : text === 'false' ? false : text
  if (field?.kind === 'number') return numberIn(text)
  return around?.kind === 'money' ? withPoint(text) : text
}

const withPoint = (text: string) => text.replace(',', '.')

function numberIn(text: string): number | string {
  const number = Number(withPoint(text))
  return Number.isFinite(number) ? number : text
}

/** Puts a value at its steps. A step that leads into what was posted as a plain text leads nowhere. */
function place(body: Record<string, unknown>, steps: readonly string[], value: unknown): void {
  let around = body
  for (const step of steps.slice(0, -1)) {
    around[step] ??= Object.create(null)
    const inner = around[step]
    if (typeof inner !== 'object' || inner === null) return
    around = inner as Record<string, unknown>
  }
  around[steps.at(-1) ?? ''] = value
}

/** What an empty field means: for the outermost group around it that is empty as a whole, or else for itself. */
function fillBlank(body: Record<string, unknown>, { steps, fields }: Posted): void {
  let around = body
  for (const [depth, step] of steps.entries()) {
    const field = fields[depth]
    if (!(step in around)) {
      if (field?.mayBeNull) around[step] = null
      else if (depth === steps.length - 1 && field?.mayBeEmpty) around[step] = ''
      return
    }
    const inner = around[step]
    if (typeof inner !== 'object' || inner === null || Array.isArray(inner)) return
    around = inner as Record<string, unknown>
  }
}
