import { z } from 'zod'
import { id, shownMoney } from '../../../http/fields.ts'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import { crowding } from '../plates/schema.ts'

/** More is planned as a roster, plate by plate. */
export const mostCopies = 100
export const mostPlates = 20

/** A whole number in an address. */
const inAddress = (most: number) =>
  z.coerce
    .number('Enter a whole number.')
    .int('Enter a whole number.')
    .min(1, 'At least 1.')
    .max(most, `At most ${most}.`)

/** What somebody means to print. */
export const chancesQuery = z
  .object({
    copies: inAddress(mostCopies).default(1),
    plates: inAddress(mostPlates).default(1).describe('the copies are spread over them as evenly as they go'),
    crowding: crowding.optional().describe('worked out from what the copies cover if left out'),
    printerId: id.optional().describe('as it is now; a machine in good order, as after upkeep, if left out'),
    kind: supportKind.optional().describe('the supports that print best if left out'),
  })
  .refine(({ copies, plates }) => copies < 1 || plates <= copies, {
    path: ['plates'],
    message: 'No more plates than copies.',
  })

const share = z.number().min(0).max(1)

const placed = z.object({
  xMm: z.number(),
  yMm: z.number(),
  widthMm: z.number(),
  depthMm: z.number(),
  round: z.boolean(),
})

const outlookSchema = z.object({
  crowding,
  plates: z.int(),
  perPlate: z.array(z.int()).describe('copies on each plate'),
  allGood: share.describe('chance that every copy comes out good'),
  expectedFailures: z.number().min(0).describe('copies that fail on average'),
  toPrint: z.int().describe('copies to print to have that many good ones in 9 cases out of 10'),
  workedOut: z.boolean().describe('how full it is was worked out, not given'),
  layers: z.int().nullable(),
  hours: z.number().nullable().describe('for all these plates; null where the height is not known'),
  resinMl: z.number(),
  resinG: z.number(),
  cost: shownMoney.describe('expected, to have that many good ones: resin, plates, failures, time for snags'),
  packed: z
    .array(placed)
    .nullable()
    .describe(
      'where the copies stand on the fullest plate, in mm from its near left corner; null where they do not fit',
    ),
})

/** Will it print on mine? */
export const chancesSchema = outlookSchema
  .extend({
    copies: z.int(),
    kind: supportKind,
    printer: z.object({ id, name: z.string() }).nullable().describe('null for a machine in good order'),
    plateMm: z.tuple([z.number(), z.number()]).describe('width and depth of the plate'),
    assumed: z.boolean().describe('nobody knows what a copy covers: a foot model’s base is taken'),
    others: z.array(outlookSchema).describe('the same copies on as few plates as take them, and on more'),
  })
  .meta({ id: 'Chances' })

export type ChancesQuery = z.infer<typeof chancesQuery>
export type Chances = z.infer<typeof chancesSchema>
