import { z } from 'zod'
import {
  base,
  count,
  id,
  instant,
  lengthMm,
  line,
  lines,
  money,
  optionalLine,
  shownBase,
  shownMoney,
  withDefaults,
} from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'

const fields = {
  name: line(120),
  aliases: lines(20, 120),
  setting: optionalLine(120),
  scaleMm: lengthMm(500, 28),
  base: base.nullable(),
  modelsPerUnit: count(1000),
  retailPrice: money.nullable(),
}

/** What has to stand on the table. */
export const newUnit = z
  .strictObject(withDefaults(fields, { aliases: [], setting: '', base: null, modelsPerUnit: 1, retailPrice: null }))
  .meta({ id: 'NewUnit' })

export const changedUnit = z.strictObject(fields).partial().meta({ id: 'ChangedUnit' })

export const unitSchema = z
  .object({
    id,
    name: z.string(),
    aliases: z.array(z.string()),
    setting: z.string(),
    scaleMm: z.number(),
    base: shownBase.nullable(),
    modelsPerUnit: z.int(),
    retailPrice: shownMoney.nullable(),
    standIns: z.int().describe('how many files are known to stand in for it'),
    createdAt: instant,
    version: z.int(),
  })
  .meta({ id: 'Unit' })

export const unitList = z.object({ ...pageQuery, q: z.string().max(120).optional() })

export type NewUnit = z.infer<typeof newUnit>
export type ChangedUnit = z.infer<typeof changedUnit>
export type Unit = z.infer<typeof unitSchema>
