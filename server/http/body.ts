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
          throw unreadable(`The key ${JSON.stringify(name.slice(0, 60))} stands twice in one object.`)
        if (name === '__proto__' || name === 'constructor' || name === 'prototype')
          throw unreadable(`A key can not be called ${name}.`)
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
