import type { FastifySchemaCompiler } from 'fastify'
import { z } from 'zod'
import { fieldErrors, Problem } from './problem.ts'

z.config({ customError: (issue) => (issue.input === undefined ? 'Please fill this in.' : undefined) })

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
