import type { FastifySchemaCompiler } from 'fastify'
import { z } from 'zod'
import { fieldErrors, Problem } from './problem.ts'

const kinds: Record<string, string> = {
  string: 'A text, please.',
  number: 'Enter a number.',
  int: 'Enter a whole number.',
  boolean: 'True or false, please.',
  array: 'A list, please.',
  tuple: 'A list, please.',
  object: 'An object with its fields, please.',
  record: 'An object with its fields, please.',
}

const units: Record<string, string> = { string: ' characters', array: ' of them', set: ' of them' }

/** What a value should have been, where its schema has no words of its own: nobody here reads those of a library. */
function plainWords(issue: z.core.$ZodRawIssue): string | undefined {
  if (issue.input === undefined) return 'Please fill this in.'
  switch (issue.code) {
    case 'invalid_type':
      return kinds[issue.expected] ?? 'Something else belongs here.'
    case 'invalid_value':
      return `One of these, please: ${issue.values.map(String).join(', ')}.`
    case 'too_small':
      return `At least ${issue.minimum}${units[issue.origin] ?? ''}.`
    case 'too_big':
      return `At most ${issue.maximum}${units[issue.origin] ?? ''}.`
    case 'invalid_key':
      return issue.issues[0]?.message
    case 'custom':
    case 'unrecognized_keys':
      return undefined
    default:
      return 'This cannot be read.'
  }
}

z.config({ customError: plainWords })

/**
 * Checks a part of a request against its zod schema. A path that can't name anything is a 404, a body or query that
 * reads well but isn't right a 422 with a pointer to each field.
 */
export const validateByZod: FastifySchemaCompiler<z.ZodType> = ({ schema, httpPart }) => {
  return (data: unknown) => {
    const parsed = schema.safeParse(data)
    if (parsed.success) return { value: parsed.data }
    if (httpPart === 'params') return { error: new Problem(404, 'There is nothing under this address.') }
    const errors = fieldErrors(parsed.error)
    return { error: new Problem(422, errors[0]?.message ?? 'Something is not right.', { errors }) }
  }
}
