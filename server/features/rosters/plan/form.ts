import { z } from 'zod'
import type { Errors, Values } from '../../../../web/parts/form.tsx'
import { countedHundredths } from '../../../../web/parts/of-hundred.ts'
import { type AskedPlan, askedPlan } from './schema.ts'

/** As the body of REST, but that shares are asked for out of a hundred, and a decimal comma is a point. */
export const planForm = askedPlan.omit({ minShare: true, looks: true }).extend({
  minPercent: z.number('A number, please.').min(0, 'At least 0.').max(100, 'At most 100.').default(0),
  looks: z
    .string()
    .overwrite((text) => text.replace(',', '.'))
    .regex(/^\d{1,9}(\.\d{1,4})?$/, 'An amount such as 1.50.')
    .optional(),
})

export function askedByForm({ minPercent, looks, ...rest }: z.infer<typeof planForm>): AskedPlan {
  return { ...rest, minShare: minPercent / 100, ...(looks !== undefined && { looks }) }
}

/** What was asked for, as the values of the form. */
export function planValues(asked: AskedPlan, currency: string): Values {
  const { exclude, pins, split, budget, minShare } = asked
  return {
    'budget.amount': budget?.amount ?? '',
    'budget.currency': budget?.currency ?? currency,
    looks: asked.looks ?? '',
    minPercent: minShare > 0 ? String(countedHundredths(minShare)) : '',
    allowMemberships: String(asked.allowMemberships),
    avoidBlocked: String(asked.avoidBlocked),
    theme: asked.theme ?? '',
    timeLimitS: String(asked.timeLimitS),
    'exclude.sculptorIds': exclude.sculptorIds,
    'exclude.fileIds': exclude.fileIds,
    'exclude.offerIds': exclude.offerIds,
    split,
    ...Object.fromEntries(Object.entries(pins).map(([entryId, fileId]) => [`pins.${entryId}`, fileId])),
  }
}

/** The form has no field for some refusals (the roster is empty): they are said of the form as a whole. */
export const blankPlan = (currency: string): { values: Values; errors: Errors } => ({
  values: planValues(askedPlan.parse({}), currency),
  errors: {},
})
