import { z } from 'zod'
import type { Values } from '../../../../web/parts/form.tsx'
import { countedHundredths } from '../../../../web/parts/numbers.ts'
import { valuesFrom } from '../../../http/page.tsx'
import { type AskedPlan, askedPlan } from './schema.ts'

/** As the body of REST, but that shares are asked for out of a hundred, and a decimal comma is a point. */
export const planForm = askedPlan.omit({ minShare: true, looks: true }).extend({
  minPercent: z.number().min(0, 'At least 0.').max(100, 'At most 100.').default(0),
  looks: z
    .string()
    .overwrite((text) => text.replace(',', '.'))
    .regex(/^\d{1,9}(\.\d{1,4})?$/, 'An amount such as 1.50.')
    .optional(),
})

export function askedByForm({ minPercent, looks, ...rest }: z.infer<typeof planForm>): AskedPlan {
  return { ...rest, minShare: minPercent / 100, ...(looks !== undefined && { looks }) }
}

/** What was asked for as the values of the form. */
export function planValues(asked: AskedPlan, currency: string): Values {
  const { budget, minShare, ...same } = asked
  return {
    ...valuesFrom({ ...same, budget: budget ?? { currency } }),
    minPercent: minShare > 0 ? String(countedHundredths(minShare)) : '',
  }
}
