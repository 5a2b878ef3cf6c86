import { z } from 'zod'
import { id } from '../../../http/fields.ts'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import { crowding } from '../plates/schema.ts'

/** More is planned as a roster, plate by plate. */
export const mostCopies = 100
export const mostPlates = 20

/** A whole number in an address. */
const inAddress = (most: number) =>
  z.coerce
    .number('A number, please.')
    .int('A whole number, please.')
    .min(1, 'At least 1.')
    .max(most, `At most ${most}.`)

/** What somebody means to print. */
export const chancesQuery = z
  .object({
    copies: inAddress(mostCopies).default(1),
    plates: inAddress(mostPlates).default(1).describe('the copies are spread over them as evenly as they go'),
    crowding: crowding.optional().describe("the caller's usual one if left out"),
    printerId: id.optional().describe('as it is now; a machine in good order, as after upkeep, if left out'),
    kind: supportKind.optional().describe('the supports that print best if left out'),
  })
  .refine(({ copies, plates }) => copies < 1 || plates <= copies, {
    path: ['plates'],
    message: 'Not more plates than copies.',
  })

const share = z.number().min(0).max(1)

const outlookSchema = z.object({
  crowding,
  plates: z.int(),
  perPlate: z.array(z.int()).describe('copies on each plate'),
  allGood: share.describe('chance that every copy comes out good'),
  expectedFailures: z.number().min(0).describe('how many of them fail on average'),
  toPrint: z.int().describe('copies to print to have as many good ones in 9 cases of 10'),
})

/** Will it print on mine? */
export const chancesSchema = outlookSchema
  .extend({
    copies: z.int(),
    kind: supportKind,
    printer: z.object({ id, name: z.string() }).nullable().describe('null for a machine in good order'),
    others: z.array(outlookSchema).describe('the same copies otherwise filled, by plates and then by crowding'),
  })
  .meta({ id: 'Chances' })

export type ChancesQuery = z.infer<typeof chancesQuery>
export type Chances = z.infer<typeof chancesSchema>
