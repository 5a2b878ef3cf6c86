import { z } from 'zod'
import {
  count,
  day,
  exampleId,
  id,
  instant,
  lines,
  money,
  remark,
  shownBase,
  shownMoney,
  withDefaults,
} from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { newUnit } from '../../catalogue/units/schema.ts'

const fields = {
  wanted: count(1000),
  mustHaves: lines(20, 120),
  budget: money.nullable(),
  neededBy: day.nullable(),
  remark: remark(),
}

/** A member asks the group for a unit: one that is known, or a new one described along with it. */
export const newRequest = z
  .strictObject({
    unitId: id.optional(),
    unit: newUnit.optional(),
    ...withDefaults(fields, { mustHaves: [], budget: null, neededBy: null, remark: '' }),
  })
  .refine((body) => (body.unitId === undefined) !== (body.unit === undefined), {
    path: ['unitId'],
    message: 'Give either a unit that is known or a new one.',
  })
  .meta({ id: 'NewRequest', examples: [{ unitId: exampleId, wanted: 10, mustHaves: ['lantern'] }] })

export const requestState = z.enum(['open', 'settled', 'withdrawn'])

/** Changes what is wanted while the request is open, closes it, or opens it again. */
export const changedRequest = z
  .strictObject({ ...fields, state: requestState, fileId: id })
  .partial()
  .refine((body) => (body.fileId !== undefined) === (body.state === 'settled'), {
    path: ['fileId'],
    message: 'A settled request needs a file; no other state takes one.',
  })
  .meta({ id: 'ChangedRequest', examples: [{ state: 'settled', fileId: exampleId }, { state: 'open' }] })

export const requestSchema = z
  .object({
    id,
    asker: z.object({ id, name: z.string() }),
    unit: z.object({ id, name: z.string(), setting: z.string(), scaleMm: z.number(), base: shownBase.nullable() }),
    wanted: z.int(),
    mustHaves: z.array(z.string()),
    budget: shownMoney.nullable(),
    boxes: z
      .object({ count: z.int(), price: shownMoney })
      .nullable()
      .describe('the boxed sets that this many models come in; null where nobody has noted the price'),
    neededBy: day.nullable(),
    remark: z.string(),
    state: requestState,
    settledFile: z.object({ id, title: z.string() }).nullable(),
    proposals: z.int().describe('how many files are proposed'),
    createdAt: instant,
    closedAt: instant.nullable(),
    version: z.int(),
  })
  .meta({ id: 'Request' })

export const requestList = z.object({
  ...pageQuery,
  state: requestState.optional(),
  unitId: id.optional(),
  askerId: id.optional(),
})

export type NewRequest = z.infer<typeof newRequest>
export type ChangedRequest = z.infer<typeof changedRequest>
export type Request = z.infer<typeof requestSchema>
export type RequestList = z.infer<typeof requestList>
