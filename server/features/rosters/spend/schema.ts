import { z } from 'zod'
import { day, id, money, shownMoney } from '../../../http/fields.ts'

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

const tiedReport = z.object({ id, title: z.string(), printedOn: day, tried: z.int(), good: z.int(), mended: z.int() })

export const spendSchema = z
  .object({
    box: shownMoney.describe('boxes of the entries whose price is known'),
    plan: shownMoney.nullable().describe('offers and printing as planned, what was spent by then included'),
    actual: shownMoney.describe(
      'paid for offers, resin of every copy tried, plates, clean-up of what failed, time of mending',
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
export const byEntryReport = z.object({ id, entryId: id, reportId: id })

export type NewPurchase = z.infer<typeof newPurchase>
export type Purchase = z.infer<typeof purchaseSchema>
export type Spend = z.infer<typeof spendSchema>
