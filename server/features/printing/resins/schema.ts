import { z } from 'zod'
import { id, instant, line, money, quantity, remark, shownMoney, version, withDefaults } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'

const size = (unit: string) => quantity(unit, 10, 100_000, 1000).nullable()

const fields = {
  name: line(80),
  price: money,
  bottleG: size('g').describe('how much is in the bottle, by weight; without either size the price is for a kilogram'),
  bottleMl: size('ml').describe('or by volume: one of the two'),
  gramsPerMl: quantity('g per ml', 0.8, 2, 1.1).describe('usually 1.05 to 1.25 (common practice, no source)'),
  remark: remark(1000),
}

/** How much is in a bottle is told in one way. */
export const twoSizes = 'Say how much is in the bottle in g or in ml, not both.'

/** A bottle of one's own. */
export const newResin = z
  .strictObject(withDefaults(fields, { bottleG: null, bottleMl: null, remark: '' }))
  .superRefine(({ bottleG, bottleMl }, context) => {
    if (bottleG !== null && bottleMl !== null)
      context.addIssue({ code: 'custom', path: ['bottleMl'], message: twoSizes })
  })
  .meta({
    id: 'NewResin',
    examples: [{ name: 'Peat Brown', price: { amount: '24.90', currency: 'EUR' }, bottleG: 1000, gramsPerMl: 1.12 }],
  })

const resinState = z.enum(['in use', 'retired'])

export const changedResin = z
  .strictObject({ ...fields, state: resinState })
  .partial()
  .meta({ id: 'ChangedResin' })

export const resinSchema = z
  .object({
    id,
    name: z.string(),
    price: shownMoney,
    bottleG: z.number().nullable(),
    bottleMl: z.number().nullable(),
    gramsPerMl: z.number(),
    remark: z.string(),
    state: resinState,
    isUsual: z.boolean().describe('whether it counts for you where nothing else is said'),
    pricePerKg: shownMoney
      .nullable()
      .describe("in the group's currency by its present rate; null without a rate: the group's own price counts"),
    createdAt: instant,
    version,
  })
  .meta({ id: 'Resin' })

/** A member's resin beside what was counted with it. */
export const resinSaid = z
  .object({
    name: z.string(),
    gramsPerMl: z.number(),
    withoutRate: z
      .string()
      .nullable()
      .describe(
        "the currency that the group keeps no rate for, so that its own price counts; null where the bottle's does",
      ),
  })
  .meta({ id: 'CountedResin' })

export const resinList = z.object(pageQuery)

export type NewResin = z.infer<typeof newResin>
export type ChangedResin = z.infer<typeof changedResin>
export type Resin = z.infer<typeof resinSchema>
export type CountedResin = z.infer<typeof resinSaid>
