import { z } from 'zod'
import { offerKinds } from '../../../../db/rows/words.ts'
import { id, ids, instant, line, money, shownMoney, wholeNumber, withDefaults } from '../../../http/fields.ts'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import { crowding } from '../../printing/plates/schema.ts'
import { resinSaid } from '../../printing/resins/schema.ts'

const some = ids(500)
const exclude = z.strictObject(
  withDefaults({ sculptorIds: some, fileIds: some, offerIds: some }, { sculptorIds: [], fileIds: [], offerIds: [] }),
)

/** The limits of a plan. */
export const askedPlan = z
  .strictObject({
    looks: z
      .string()
      .regex(/^\d{1,9}(\.\d{1,4})?$/, 'An amount such as 1.50.')
      .optional()
      .describe("how much more a model is worth if the group would field it; the group's own figure if left out"),
    budget: money.nullable().default(null).describe('the most to spend on offers'),
    minShare: z.number().min(0, 'At least 0.').max(1, 'At most 1.').default(0),
    allowMemberships: z.boolean().default(true),
    avoidBlocked: z.boolean().default(true),
    theme: line(60)
      .nullable()
      .default(null)
      .describe('a style tag that the army should share as far as it is worth it'),
    exclude: exclude.default({ sculptorIds: [], fileIds: [], offerIds: [] }),
    pins: z.record(id, id).default({}).describe('by entry: the file that it has to be printed from'),
    split: some.default([]).describe('entries that may be printed from two files'),
    timeLimitS: wholeNumber(1, 60).default(10),
  })
  .meta({ id: 'AskedPlan' })

const progress = z.object({
  phase: z.enum(['cover', 'cost']).describe('first the fewest entries left out, then the least cost'),
  incumbent: z.number(),
  bound: z.number().nullable(),
  gap: z.number().nullable(),
})

const plannedOffer = z.object({
  offerId: id.nullable().describe('null: files that are in the archive'),
  kind: z.enum([...offerKinds, 'owned']),
  title: z.string(),
  price: shownMoney.describe("in the group's currency, a membership's for its months"),
  ownPrice: shownMoney.nullable().describe('as the offer says it now, a membership a month'),
  months: z.int().nullable(),
  url: z.string().nullable(),
  linkWithheld: z.boolean().describe('its sculptor asked not to be linked'),
  opens: z.array(id).describe('ids of the entries that are printed from its files'),
  files: z.array(z.object({ id, title: z.string() })).describe('those of its files that the plan prints'),
  bought: z.boolean(),
})

const plannedEntry = z.object({
  entryId: id,
  fileId: id,
  title: z.string(),
  offerId: id.nullable(),
  supportSetId: id.nullable(),
  supportKind,
  models: z.int().describe('still to be printed'),
  copies: z.int().describe('whole copies to print: the good ones, and the failures that are expected'),
  expectedFailures: z.number().describe('copies that fail on average; these are charged'),
  printing: shownMoney,
  hours: z.number().nullable(),
  plates: z.int().nullable(),
  hoursPerPlate: z.number().nullable(),
  resinMl: z.number(),
  resinG: z.number(),
  fits: z.boolean().describe('whether a copy has room on the printer'),
  otherPrinter: z
    .object({ id, name: z.string() })
    .nullable()
    .describe(
      "where the plan's printer does not take it: another one of yours that does, which its plates and hours are of",
    ),
  share: z.number(),
})

const sum = { offers: shownMoney, printing: shownMoney, money: shownMoney.describe('offers and printing') }
const looks = shownMoney.describe('what it is worth that not everybody would field its files; no money is paid for it')

const decides = shownMoney.describe('money and looks, less what a theme or a split is worth: the smallest is chosen')

const change = z.object({ entryId: id, from: z.string().nullable(), to: z.string().nullable() })

export const comparedPlan = z.object({
  ...sum,
  extra: shownMoney.describe('offers and printing beyond the plan; negative if it is cheaper'),
  extraWithLooks: shownMoney.describe('the same with what the looks are worth'),
  moreUncovered: z.int(),
  proven: z.boolean(),
  gap: z.number().nullable(),
  drops: z.array(z.string()).describe('offers of the plan that it does without'),
  adds: z.array(z.string()),
  changes: z.array(change).describe('entries that are printed from another file'),
})

export const shownPlan = z
  .object({
    state: z
      .enum(['running', 'done', 'lost'])
      .describe('running: the plan is the best so far; lost: solving was interrupted, and this is the best by then'),
    outOfDate: z
      .boolean()
      .describe('the list or the resin it counts with has changed since, or a print no longer counts'),
    ended: z.enum(['proven', 'time limit', 'stopped', 'failed']).nullable(),
    proven: z.boolean(),
    coverProven: z.boolean(),
    gap: z
      .number()
      .nullable()
      .describe('share of what this plan was chosen by that a better one could save at most; null while unknown'),
    progress: progress.nullable(),
    asked: askedPlan,
    offers: z.array(plannedOffer),
    entries: z.array(plannedEntry),
    done: z.array(id).describe('entries whose models are all printed: nothing is planned for them'),
    tooLarge: z
      .array(z.object({ entryId: id, fileId: id, title: z.string() }))
      .describe('files that are out since none of your printers takes them'),
    uncovered: z.array(z.object({ entryId: id, reason: z.string(), words: z.string() })),
    totals: z.object({
      offers: shownMoney.describe('still to be paid'),
      printing: shownMoney.describe('still to be printed'),
      money: shownMoney.describe('offers and printing together: still to be spent'),
      printingOf: z
        .object({ resin: shownMoney, plates: shownMoney, failures: shownMoney, snagTime: shownMoney })
        .describe('what the printing is made of; all resin in plans that an earlier version made'),
      spent: shownMoney.describe('paid and printed by now'),
      all: shownMoney.describe('spent, and still to be spent'),
      looks,
      retail: shownMoney.describe('boxes of the covered entries and of those that are all printed'),
      withoutRetail: z.array(id).describe('covered entries whose box has no known price'),
      saving: shownMoney.nullable().describe('the boxes less all of it'),
      savingShare: z.number().nullable(),
      savingAtLeast: shownMoney
        .nullable()
        .describe('where the saving is not known: what it is without the unknown boxes'),
      plates: z.int(),
      hours: z.number(),
      resinMl: z.number(),
      resinG: z.number(),
    }),
    asPlanned: z
      .object({ ...sum, looks, decides, uncovered: z.int() })
      .describe('its sums as it was chosen, to compare with themes and other ways'),
    theme: z.string().nullable().describe('the style tag that the plan was made for'),
    themes: z.array(
      z.object({
        styleTag: z.string().nullable(),
        ...sum,
        uncovered: z.int(),
        proven: z.boolean(),
        chosenBy: decides,
      }),
    ),
    naive: z.array(
      z.object({
        kind: z.enum(['cheapest file of each', 'cheapest to print of each', 'what there is first', 'offer by offer']),
        ...sum,
        looks,
        decides,
        uncovered: z.int(),
      }),
    ),
    withoutRate: z.array(z.object({ offerId: id, currency: z.string() })).describe('offers that could not be priced'),
    alternatives: z.array(comparedPlan).describe('other plans, once they were asked for by what-ifs'),
    printer: z.object({ id, name: z.string() }).nullable(),
    resin: resinSaid.nullable().describe("the member's usual one as the plan was made; null: by the group's settings"),
    crowding,
    startedAt: instant,
    endedAt: instant.nullable(),
  })
  .meta({ id: 'RosterPlan' })

/** A kind has what it is about beside it. */
export const whatIfQuery = z.object({
  kind: z.enum(['without memberships', 'without offer', 'second choice', 'other plans']).default('other plans'),
  offerId: id.optional(),
  entryId: id.optional(),
})

export const shownWhatIf = z
  .object({
    kind: z.enum(['without memberships', 'without offer', 'second choice', 'other plans']),
    plans: z.array(comparedPlan),
    worthUpTo: z
      .object({ price: shownMoney, isExact: z.boolean() })
      .nullable()
      .describe('up to which price the offer stays worth buying'),
  })
  .meta({ id: 'RosterWhatIf' })

export type AskedPlan = z.infer<typeof askedPlan>
export type ComparedPlan = z.infer<typeof comparedPlan>
export type ShownPlan = z.infer<typeof shownPlan>
export type ShownWhatIf = z.infer<typeof shownWhatIf>
export type WhatIfQuery = z.infer<typeof whatIfQuery>
