import { z } from 'zod'
import { count, id, instant, optionalLine } from '../../../http/fields.ts'

export const newInvitation = z
  .strictObject({
    role: z.enum(['member', 'steward']).default('member'),
    expiresInDays: count(90).default(7),
    uses: count(50).default(1),
    note: optionalLine(120).default('').describe('whom it is for; stewards alone read it'),
  })
  .meta({ id: 'NewInvitation' })

export const invitationSchema = z
  .object({
    id,
    role: z.enum(['member', 'steward']),
    usesLeft: z.int(),
    note: z.string(),
    expiresAt: instant,
    createdAt: instant,
    createdBy: z.object({ id, name: z.string() }),
  })
  .meta({ id: 'Invitation' })

/** Only its maker ever sees the link, once: no more than a hash of the code is kept. */
export const madeInvitation = invitationSchema.extend({ url: z.string() }).meta({ id: 'MadeInvitation' })

// A code is 24 characters of base64url.
export const code = z.string().regex(/^[\w-]{24}$/)

/**
 * How often a place may look at links that let people in, and use them, within a quarter of an hour: a whole club behind
 * one address. The codes are beyond guessing; this only bounds the work.
 */
export const joinTries = { tries: 120, windowS: 900 }
