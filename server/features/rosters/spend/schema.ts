import { z } from 'zod'
import { day, id, line, money, shownMoney } from '../../../http/fields.ts'

/** An offer that was bought for a roster: what was really paid, and when. */
export const newPurchase = z
  .strictObject({
    offerId: id,
    paid: money.optional().describe('its price as offered, a membership for its months, if left out'),
    boughtOn: day.optional().describe('today if left out'),
  })
  .meta({ id: 'NewPurchase' })

export const purchaseSchema = z
  .object({
    id,
    offerId: id,
    title: z.string(),
    paid: shownMoney,
    worth: shownMoney.nullable().describe("in the group's currency at the rate of that day; null without a rate"),
    boughtOn: day,
    roster: z.object({ id, name: z.string() }).nullable().describe('the roster that it counts for'),
  })
  .meta({ id: 'Purchase' })

/**
 * Something else that was spent for a roster: bases, paint, shipping, a share of another's purchase. An amount is never
 * negative; a share that somebody paid to the member came in, and is taken off.
 */
export const newSpendLine = z
  .strictObject({
    words: line(120),
    amount: money,
    on: day.optional().describe('today if left out'),
    cameIn: z.boolean().default(false).describe('true: paid to the member, and taken off'),
  })
  .meta({ id: 'NewSpendLine', examples: [{ words: 'Bases', amount: { amount: '4.50', currency: 'EUR' } }] })

export const spendLineSchema = z
  .object({
    id,
    words: z.string(),
    on: day,
    amount: shownMoney,
    cameIn: z.boolean(),
    worth: shownMoney
      .nullable()
      .describe("in the group's currency at the rate of that day, negative for what came in; null without a rate"),
  })
  .meta({ id: 'SpendLine' })

const beside = z.object({ planned: shownMoney.nullable(), actual: shownMoney })

const tiedReport = z.object({ id, title: z.string(), printedOn: day, tried: z.int(), good: z.int(), mended: z.int() })

export const spendSchema = z
  .object({
    box: shownMoney.describe('boxes of the entries whose price is known'),
    plan: shownMoney.nullable().describe('offers and printing as planned, what was spent by then included'),
    actual: shownMoney.describe(
      'paid for offers, resin of every copy tried, plates, clean-up of what failed, time of mending, and the lines',
    ),
    offers: shownMoney,
    resin: shownMoney,
    plates: shownMoney.describe(
      "what a plate costs the group; of one with several prints each print's share, by copies",
    ),
    cleanUp: shownMoney.describe(
      'of copies that were lost, and of plates on which anything failed, shared in the same way',
    ),
    mending: shownMoney.describe('minutes told for mending failed copies, at what an hour is worth to the group'),
    other: shownMoney.describe('the lines together, what came in taken off; negative if more came in'),
    lines: z.array(spendLineSchema),
    beside: z
      .object({ buying: beside, printing: beside, other: beside })
      .describe('what the last plan foresaw, and what it came to so far; printing with its failures'),
    purchases: z.array(purchaseSchema),
    countedElsewhere: z
      .array(purchaseSchema)
      .describe('bought with another roster and used here: the price counts there'),
    entries: z.array(
      z.object({
        entryId: id,
        wanted: z.int(),
        good: z.int(),
        mended: z.int().describe('failed copies that were saved by hand'),
        failed: z.int().describe('failed and lost'),
        missing: z.int().describe('models still to be printed'),
        reports: z.array(tiedReport),
      }),
    ),
  })
  .meta({ id: 'RosterSpend' })

export const byPurchase = z.object({ id, purchaseId: id })
export const byLine = z.object({ id, lineId: id })
export const byEntryReport = z.object({ id, entryId: id, reportId: id })

export type NewPurchase = z.infer<typeof newPurchase>
export type NewSpendLine = z.infer<typeof newSpendLine>
export type SpendLine = z.infer<typeof spendLineSchema>
export type Purchase = z.infer<typeof purchaseSchema>
export type Spend = z.infer<typeof spendSchema>

/** What was spent, by what for; in minor units of the group's currency. */
export interface Spent {
  offersMinor: number
  printMinor: number
  /** negative if more came in */
  otherMinor: number
}
