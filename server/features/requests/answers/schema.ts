import { z } from 'zod'
import { faceSchema } from '../../../http/face.ts'
import { id, shownBase, shownMoney } from '../../../http/fields.ts'
import { printSuccess, shares } from '../../catalogue/files/schema.ts'
import { shadow } from '../../catalogue/measures/schema.ts'
import { offerKind } from '../../catalogue/offers/schema.ts'
import { severity, snagState } from '../../catalogue/snags/schema.ts'
import { resinSaid } from '../../printing/resins/schema.ts'

const amount = z.string().describe("decimal string in the group's currency")

export const answerSchema = z
  .object({
    rank: z.int(),
    proposalId: id.nullable(),
    file: z.object({
      id,
      title: z.string(),
      sculptor: z.object({ id: id.nullable(), name: z.string().nullable() }),
      scaleMm: z.number().nullable(),
      base: shownBase.nullable(),
      heightMm: z.number().nullable(),
      face: faceSchema.nullable(),
      options: z.array(z.string()),
      styleTags: z.array(z.string()),
      shadow: shadow.nullable().describe('what it is drawn by; null while nobody has measured it'),
    }),
    obtainable: z.boolean(),
    whyNotObtainable: z.string().nullable(),
    costToTable: shownMoney.nullable().describe('null where the file cannot be had: then it has no price'),
    badLuckCost: shownMoney.nullable().describe('9 in 10 do no worse'),
    breakdown: z
      .object({
        price: amount.nullable(),
        resinForGood: amount,
        plates: amount.describe('whole plates for the good copies'),
        failures: amount.describe('resin, clean-up and share of plates of the copies that are expected to fail'),
        snagTime: amount,
        looks: amount,
      })
      .describe('adds up to the score'),
    offer: z.object({ id, kind: offerKind }).nullable(),
    owned: z.boolean().describe('in the archive, or opened by a running membership; only with own=true'),
    resinMl: z.object({ perCopy: z.number(), assumed: z.boolean() }),
    attemptsPerGood: z.number().describe('expected copies to print for a good one, on that printer and plate'),
    badLuckFailures: z.int(),
    printing: z
      .object({
        copies: z.int().describe('whole copies to print: the good ones, and the failures that are expected'),
        plates: z.int().nullable().describe('whole plates for them; null where the base is not known'),
        hours: z.number().nullable().describe('null where base or height are not known'),
        resinMl: z.number().describe('for all these copies, supports included'),
        fits: z.boolean(),
        expectedFailures: z.number().describe('copies that fail on average; these are charged'),
        expectedPlates: z.number().describe('plates on average; these are charged'),
      })
      .describe("on the caller's printer with own=true, else on a small one"),
    comesOut: shares.describe(
      "chance that a copy comes out, all in: file, a machine in good order (with own=true the caller's printer), a plate about full",
    ),
    printSuccess,
    votes: z.object({ yes: z.int(), no: z.int(), share: z.number(), mine: z.boolean().nullable() }),
    score: amount.nullable().describe('cost to table and looks; null where the file cannot be had'),
    blockedBy: z.array(z.object({ snagId: id, kind: z.string(), part: z.string() })),
    snags: z.array(
      z.object({
        id,
        kind: z.string(),
        severity,
        part: z.string(),
        minutes: z.int().nullable(),
        detail: z.string(),
        state: snagState.exclude(['mended']),
      }),
    ),
    covers: z.array(z.string()),
    missing: z.array(z.string()),
  })
  .meta({ id: 'Answer' })

/** The terms that are the same for all answers of a list. */
export const answersSchema = z
  .object({
    items: z.array(answerSchema),
    next: z.null(),
    wanted: z.int(),
    looksWorth: shownMoney,
    own: z.boolean(),
    printer: z.object({ id, name: z.string() }).nullable().describe('with own=true: the one that prints'),
    resin: resinSaid
      .nullable()
      .describe("with own=true: the caller's usual one; null where the group's settings count"),
  })
  .meta({ id: 'Answers' })

export const answersQuery = z.object({
  looks: z
    .string()
    .regex(/^\d{1,9}(\.\d{1,4})?$/, 'An amount such as 0.50.')
    .optional()
    .describe("what it is worth to you to have one model that the group would field; the group's setting if left out"),
  own: z.enum(['true', 'false']).default('false').describe('count your archive, memberships and printer'),
})

export const unitAnswersQuery = answersQuery.extend({
  wanted: z.coerce.number().int().min(1).max(1000).optional().describe('models; one unit of it if left out'),
})

export type Answer = z.infer<typeof answerSchema>
export type Answers = z.infer<typeof answersSchema>
