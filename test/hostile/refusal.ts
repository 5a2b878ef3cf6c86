import type { LightMyRequestResponse } from 'fastify'
import { expect } from 'vitest'
import { leak } from './calls.ts'

/** The refusal's status and the fields it points to; just the status of what was no refusal. */
export function refusal(answer: LightMyRequestResponse): [number, ...string[]] {
  expect(leak(answer)).toBeUndefined()
  if (answer.statusCode < 400) return [answer.statusCode]
  expect(answer.headers['content-type']).toBe('application/problem+json')
  const { status, errors = [] } = answer.json()
  return [status, ...errors.map(({ path }: { path: string }) => path)]
}

/** One line for whoever started it, and no more: no stack trace, nothing of the inside. */
export function expectOneLine(said: string): void {
  expect(said.trim().split('\n')).toHaveLength(1)
  expect(said).not.toMatch(/\bat .+:\d+:\d+|node:internal|\[object/)
}
