import { z } from 'zod'
import { id, shownBase, shownMoney } from '../../http/fields.ts'

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
      options: z.array(z.string()),
      styleTags: z.array(z.string()),
    }),
    obtainable: z.boolean(),
    whyNotObtainable: z.string().nullable(),
    costToTable: shownMoney,
    badLuckCost: shownMoney.describe('9 in 10 do no worse'),
    breakdown: z.object({ price: amount, resinForGood: amount, failures: amount, snagTime: amount, looks: amount }),
    offer: z.object({ id, kind: z.enum(['purchase', 'bundle', 'membership', 'free']) }).nullable(),
    owned: z.boolean().describe('in the archive, or opened by a running membership; only with own=true'),
    resinMl: z.object({ perCopy: z.number(), assumed: z.boolean() }),
    attemptsPerGood: z.number().describe('expected copies to print for a good one, on that printer and plate'),
    badLuckFailures: z.int(),
    printSuccess: z.object({
      mean: z.number(),
      low: z.number(),
      high: z.number(),
      copies: z.number(),
      basis: z.enum(['sculptor', 'group']).describe('what it is guessed from while there are no copies'),
      supportSetId: id.nullable(),
      kind: z.enum(['as supplied', 'extra supports', 'own supports']),
      cantTell: z.boolean().describe("the file can't be told from one printer yet"),
    }),
    votes: z.object({ yes: z.int(), no: z.int(), share: z.number(), mine: z.boolean().nullable() }),
    score: amount,
    blockedBy: z.array(z.object({ snagId: id, kind: z.string(), part: z.string() })),
    snags: z.array(
      z.object({
        id,
        kind: z.string(),
        severity: z.enum(['blocks', 'costs time', 'cosmetic']),
        part: z.string(),
        minutes: z.int().nullable(),
        detail: z.string(),
        state: z.enum(['open', 'acknowledged by sculptor']),
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
