import type { LightMyRequestResponse } from 'fastify'
import type { Person } from '../support/app.ts'
import { apiCalls } from './api-calls.ts'
import type { Ask, Call } from './call.ts'
import { pageCalls } from './page-calls.ts'

export { type Ask, apiCalls, type Call, pageCalls }

export const calls: Record<string, Call> = { ...apiCalls, ...pageCalls }

export const isChange = (route: string) => !route.startsWith('GET ')

/**
 * Makes the call as a browser or program of that person would.
 *
 * @param raw sent as it is, in the place of the body or form
 */
export async function send(
  person: Person,
  route: string,
  ask: Ask,
  headers: Record<string, string> = {},
  raw?: string,
) {
  const [method = '', pattern = ''] = route.split(' ')
  const params = [...(ask.params ?? [])]
  const url = pattern.replace(/:\w+|\*/g, () => params.shift() ?? '')
  const encoded = ask.form && new URLSearchParams(pairs(ask.form)).toString()
  const isForm = raw === undefined ? ask.form !== undefined : !route.includes('/api/v1/')
  const type = isForm ? 'application/x-www-form-urlencoded' : 'application/json'
  const payload = raw ?? encoded ?? (ask.body && JSON.stringify(ask.body))
  const answer = await person.app.inject({
    method: method as 'GET',
    url,
    headers: {
      'sec-fetch-site': 'same-origin',
      'if-match': '*',
      ...(person.cookie && { cookie: person.cookie }),
      ...(payload !== undefined && { 'content-type': type }),
      ...headers,
    },
    ...(payload !== undefined && { payload }),
  })
  person.keep(answer)
  return answer
}

const pairs = (fields: Record<string, string | string[]>) =>
  Object.entries(fields).flatMap(([name, value]) => [value].flat().map((one) => [name, one]))

/** What no answer may hold: a stack trace, a path of ours, SQL, or a driver's words. */
const inside =
  /\bat .+\.(?:ts|tsx|js):\d+|node_modules|node:internal|\b(?:select|insert into|update|delete from) "|\bsyntax error\b|violates|SQLSTATE|Kysely|PGlite|FST_ERR|ECONNREFUSED|invalid input syntax|byte sequence|duplicate key value/i

/** The words of ours that give the inside away, if the answer has any. */
export const leak = (answer: LightMyRequestResponse): string | undefined => inside.exec(answer.body)?.[0]
