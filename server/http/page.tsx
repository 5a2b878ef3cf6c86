import type { FastifyReply, FastifyRequest } from 'fastify'
import { v7 } from 'uuid'
import type { z } from 'zod'
import { documentOf, type Frame, Layout, type LayoutProps } from '../../web/layout.tsx'
import type { Errors, FormState, Values } from '../../web/parts/form.tsx'
import { dayOf } from './day.ts'
import { bodyOf, mayBeBlank } from './form-body.ts'
import { type Group, readGroup, todayIn } from './group.ts'
import { takeBack } from './post-once.ts'
import { type FieldError, fieldErrors, Problem } from './problem.ts'
import { type Said, said } from './said.ts'
import { lacksStyle, sendStyle } from './style.ts'

/** What a page has to say for itself; the frame around it is the same everywhere. */
export type PageProps = Omit<LayoutProps, keyof Frame>

/** The frame of every page: who is signed in, the group, the day. Reads the group's settings where nobody is. */
export async function frameOf(request: FastifyRequest): Promise<Frame> {
  return plainFrame(request, request.viewer?.group ?? (await readGroup(request.db)))
}

/** A frame that asks no database, for the page that says that it is away. */
export function plainFrame(request: FastifyRequest, group?: Group): Frame {
  const now = request.server.now()
  return {
    me: request.viewer,
    groupName: group?.name ?? 'Understudy',
    assets: request.server.assets,
    isFirst: lacksStyle(request),
    path: request.url.split('?')[0] ?? '/',
    reader: {
      locale: group?.locale ?? 'en-GB',
      timeZone: group?.timeZone ?? 'UTC',
      today: group ? todayIn(group.timeZone, now) : dayOf(now),
    },
  }
}

/** Renders a page as the answer. Return what it gives; never call `reply.send`, a transaction may be open. */
export async function page(reply: FastifyReply, props: PageProps): Promise<string> {
  return renderPage(reply, await frameOf(reply.request), { notice: justSaid(reply.request), ...props })
}

export function renderPage(reply: FastifyReply, frame: Frame, props: PageProps): string {
  reply.type('text/html; charset=utf-8').header('cache-control', 'no-store')
  if (frame.isFirst) sendStyle(reply)
  return documentOf(<Layout {...frame} {...props} />)
}

/** What has just happened, in words; undefined where the address names nothing. */
export function justSaid(request: FastifyRequest): string | undefined {
  const key = (request.query as { said?: unknown }).said
  return typeof key === 'string' && Object.hasOwn(said, key) ? said[key as Said] : undefined
}

/**
 * After a form was accepted: leads the browser to a page that it can safely reload.
 *
 * @param key one of `said`, told at the top of that page
 */
export function seeOther(reply: FastifyReply, path: string, key?: Said): string {
  const [beforeHash = '', hash] = path.split('#')
  const mark = key ? `${beforeHash.includes('?') ? '&' : '?'}said=${key}` : ''
  reply.code(303).header('location', `${beforeHash}${mark}${hash ? `#${hash}` : ''}`)
  return ''
}

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
  'Somebody changed this after you opened it, or you did in another window. What you typed is here, but not saved yet. Look at what is there now, then send this again if it should replace that.'

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

/**
 * What a change form really changes: a field that came back as it was shown is left alone. So nothing is overwritten with
 * the shortened form in which this reader was shown it.
 */
export function withoutUnchanged<Change extends object>(change: Change, shown: object): Change {
  const before = shown as Record<string, unknown>
  const kept = Object.entries(change).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(before[name]))
  return Object.fromEntries(kept) as Change
}
