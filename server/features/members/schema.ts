import { z } from 'zod'
import { id, line } from '../../http/fields.ts'

export const email = z
  .string()
  .trim()
  .toLowerCase()
  .max(200, 'At most 200 characters.')
  .pipe(z.email('This does not look like an e-mail address.'))

// Length is what counts (NIST SP 800-63B, from memory); argon2 takes any length, the limit only bounds the work.
export const password = z
  .string()
  .min(10, 'At least 10 characters.')
  .max(200, 'At most 200 characters.')
  .refine((text) => text.isWellFormed(), 'There is a character in it that can not be kept.')

/** Who joins: at set-up and by invitation alike. */
export const newMember = z.strictObject({ name: line(80), email, password }).meta({ id: 'NewMember' })

export const role = z.enum(['member', 'steward', 'owner'])

/** A member as others see them. */
export const memberSchema = z
  .object({ id, name: z.string(), role, state: z.enum(['active', 'left']) })
  .meta({ id: 'Member' })
