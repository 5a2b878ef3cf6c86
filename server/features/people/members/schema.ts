import { z } from 'zod'
import { id, instant, line, tooLong } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { crowdings } from '../../../scoring/model.ts'

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
  .max(200, tooLong(200))
  .refine((text) => text.isWellFormed(), 'It contains a character that can’t be stored. Type it again by hand.')
  .meta({ format: 'password' })

/** A password to be compared with the one that is kept: taken as it comes. */
export const givenPassword = z
  .string()
  .min(1, 'Please fill this in.')
  .max(200, 'At most 200 characters.')
  .meta({ format: 'password' })

const name = line(80)

/** Who joins: at set-up and by invitation alike. */
export const newMember = z.strictObject({ name, email, password }).meta({ id: 'NewMember' })

export const role = z.enum(['member', 'steward', 'owner'])
export const state = z.enum(['active', 'left'])
const crowding = z.enum(crowdings)

/** A member as others see them. */
export const memberSchema = z
  .object({
    id,
    name: z.string(),
    role,
    state,
    joinedAt: instant,
    version: z.int(),
    email: z.string().optional().describe('for stewards, and of oneself'),
  })
  .meta({ id: 'Member' })

export const memberList = z.object({ ...pageQuery, state: state.optional() })

/** One of the two: they are different people's to decide. */
export const changedMember = z
  .strictObject({ role, state })
  .partial()
  .refine((change) => (change.role === undefined) !== (change.state === undefined), 'Give either role or state.')
  .meta({ id: 'ChangedMember', examples: [{ role: 'steward' }] })

/** What one sees of oneself. */
export const meSchema = z
  .object({
    id,
    name: z.string(),
    email: z.string(),
    role,
    state,
    joinedAt: instant,
    defaultPrinterId: id.nullable().describe('the printer that a report starts from'),
    defaultResinId: id.nullable().describe("the resin of yours that counts for you; null: the group's settings do"),
    defaultCrowding: crowding,
    version: z.int(),
  })
  .meta({ id: 'Me' })

/** What one changes about oneself. A new address or password wants the present password. */
export const changedMe = z
  .strictObject({
    name,
    email,
    password: z.strictObject({
      old: givenPassword,
      new: password.optional(),
    }),
    defaultPrinterId: id.nullable(),
    defaultResinId: id.nullable(),
    defaultCrowding: crowding,
  })
  .partial()
  .meta({ id: 'ChangedMe' })

/** How somebody who forgot their password gets back in; told once. */
export const wayBackSchema = z.object({ url: z.string(), expiresAt: instant }).meta({ id: 'WayBack' })

export const newPassword = z.strictObject({ password }).meta({ id: 'NewPassword' })

export type ChangedMember = z.infer<typeof changedMember>
export type Member = z.infer<typeof memberSchema>
export type Me = z.infer<typeof meSchema>
export type ChangedMe = z.infer<typeof changedMe>
