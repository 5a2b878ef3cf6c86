import { parse } from 'node:querystring'
import type { FastifyInstance } from 'fastify'
import { visit } from 'jsonc-parser'
import { Problem } from './problem.ts'

/** A body is at most this long, in bytes. */
export const bodyLimit = 256 * 1024
const maxDepth = 32

const unreadable = (detail: string) => new Problem(400, detail)

/**
 * Parses JSON and refuses what `JSON.parse` would take in silence: a key that stands twice in one object, one of the
 * names that reach an object's prototype, nesting deeper than 32.
 *
 * @throws Problem 400
 */
export function parseJson(text: string): unknown {
  const open: Set<string>[] = []
  let depth = 0
  const enter = () => {
    if (++depth > maxDepth) throw unreadable(`Nested deeper than ${maxDepth}.`)
  }
  const leave = () => {
    depth -= 1
  }
  visit(
    text,
    {
      onObjectBegin: () => {
        enter()
        open.push(new Set())
      },
      onObjectEnd: () => {
        leave()
        open.pop()
      },
      onArrayBegin: enter,
      onArrayEnd: leave,
      onObjectProperty: (name) => {
        const names = open.at(-1)
        if (names?.has(name))
          throw unreadable(`The key ${JSON.stringify(name.slice(0, 60))} appears twice in one object.`)
        if (name === '__proto__' || name === 'constructor' || name === 'prototype')
          throw unreadable(`A key cannot be called ${name}.`)
        names?.add(name)
      },
      onError: () => {
        throw unreadable('The body is not JSON.')
      },
    },
    { disallowComments: true, allowTrailingComma: false },
  )
  return JSON.parse(text)
}

const mostFields = 2_000
const longestName = 80
const mostDots = 3

/**
 * Parses a form. Its names are what our pages call a field, such as `offer.price.amount`; what is longer, deeper or more
 * than any page of ours sends is refused before anybody works on it.
 *
 * @returns a text by name, or texts where the name stands several times
 * @throws Problem 400, 413
 */
export function parseForm(text: string): Record<string, string | string[] | undefined> {
  let fields = 1
  for (let at = text.indexOf('&'); at >= 0; at = text.indexOf('&', at + 1)) fields += 1
  if (fields > mostFields) throw new Problem(413, `A form may have at most ${mostFields} fields.`)
  const form = parse(text, '&', '=', { maxKeys: 0 })
  for (const name of Object.keys(form)) expectName(name)
  return form
}

/** Adds a field to a form that comes in parts; one that comes several times becomes a list. @throws Problem 400 */
export function addField(form: Record<string, string | string[] | undefined>, name: string, value: string): void {
  expectName(name)
  const before = form[name]
  if (before === undefined) form[name] = value
  else if (Array.isArray(before)) before.push(value)
  else form[name] = [before, value]
}

function expectName(name: string): void {
  if (name.length > longestName) throw unreadable(`The name of a field may have at most ${longestName} characters.`)
  if (name.split('.').length > mostDots + 1) throw unreadable(`The name of a field may have at most ${mostDots} dots.`)
}

/** Forms come in through `parseForm` alone. */
export function readForms(app: FastifyInstance): void {
  app.addContentTypeParser('application/x-www-form-urlencoded', { parseAs: 'string' }, (_request, body, done) => {
    try {
      done(null, parseForm(String(body)))
    } catch (error) {
      done(error instanceof Problem ? error : unreadable('The form cannot be read.'))
    }
  })
}

/** Pages take forms, whose fields are texts; the values of JSON could be anything. */
export function takeNoJson(app: FastifyInstance): void {
  app.removeContentTypeParser(['application/json', 'text/plain'])
}

/** JSON bodies come in through `parseJson` alone. */
export function readJsonBodies(api: FastifyInstance): void {
  api.addContentTypeParser('application/json', { parseAs: 'string' }, (_request, body, done) => {
    try {
      done(null, body === '' ? undefined : parseJson(String(body)))
    } catch (error) {
      done(error instanceof Problem ? error : unreadable('The body is not JSON.'))
    }
  })
}

/** Forms are for pages: what a form can send, without a script and from any site, is no body of the API. */
export function refuseForms(api: FastifyInstance): void {
  api.removeContentTypeParser('application/x-www-form-urlencoded')
}
