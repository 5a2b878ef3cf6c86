import { z } from 'zod'
import { id } from '../../../http/fields.ts'

export const merge = z.strictObject({ into: id.describe('what stays') }).meta({ id: 'Merge' })

/** What a thing is the same as, looked for by words. */
export const lookFor = z.object({
  q: z.string().trim().max(120).default('').catch(''),
})
