import { z } from 'zod'
import { id, instant, line } from '../../../http/fields.ts'
import { givenPassword } from '../members/schema.ts'

// Read as leniently as possible: a wrong address and a wrong password get the same answer.
export const credentials = z
  .strictObject({
    email: line(200).toLowerCase(),
    password: givenPassword,
  })
  .meta({ id: 'Credentials' })

/** One of the browsers or programs by which one is signed in. */
export const sessionSchema = z
  .object({
    id,
    signedInAt: instant,
    lastUsedAt: instant.describe('noted once an hour: up to an hour earlier than it was'),
    from: z.string().nullable().describe('the network address that signed in; null where nobody noted it'),
    browser: z.string().nullable().describe('what it says it is, such as "Firefox on Linux"'),
    isCurrent: z.boolean().describe('whether this call comes by it'),
  })
  .meta({ id: 'Session' })
