import { z } from 'zod'

export const newVote = z.strictObject({ wouldField: z.boolean('Yes or no?') }).meta({ id: 'NewVote' })

export const tallySchema = z
  .object({
    yes: z.int(),
    no: z.int(),
    share: z
      .number()
      .describe('share that would field it: the votes, and four more that fall as the group votes in general'),
    mine: z.boolean().nullable(),
  })
  .meta({ id: 'Tally' })

export type Tally = z.infer<typeof tallySchema>
