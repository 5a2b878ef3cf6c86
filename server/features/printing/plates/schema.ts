import { z } from 'zod'
import { count, countOrNone, day, id, instant, remark, version } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { type Seen, seen as seenKinds } from '../../../scoring/labels.ts'
import { crowdings } from '../../../scoring/model.ts'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import { mostCopies, mostPrints, type Wrong, wrongCounts, wrongPrints } from './rules.ts'

export const seen = z.enum(seenKinds as [Seen, ...Seen[]])
export const crowding = z.enum(crowdings).describe('how full the plate was')

export const someCopies = countOrNone(mostCopies)

const crowdingOrNot = crowding
  .nullable()
  .describe(
    'how full the plate was; null has it worked out from what the copies of all its prints cover, and is refused (422) where that is not known',
  )

/** What a plate is told with, whatever was on it. */
export const plateFields = {
  printerId: id,
  printedOn: day,
  crowding: crowdingOrNot,
  remark: remark(1000),
  resinId: id
    .nullable()
    .describe('a resin of yours; null for your usual one, or the group’s settings if you have none'),
}

/** What may be left out of a new plate. */
export const untoldPlate = {
  crowding: crowdingOrNot.default(null),
  remark: plateFields.remark.default(''),
  resinId: plateFields.resinId.default(null),
}

/** What one print is told with. */
export const printFields = {
  supportSetId: id,
  tried: count(mostCopies),
  good: someCopies,
  mended: someCopies.describe('of the failed copies, those that were saved by hand'),
  mendedMinutes: count(6000).nullable().describe('how long that took; null when not told'),
  failures: z
    .array(z.strictObject({ seen, copies: count(mostCopies) }))
    .max(seenKinds.length, `At most ${seenKinds.length} of them.`)
    .describe('all failed copies, also the mended ones, by what was seen'),
}

/** What may be left out of a new print. */
export const untoldPrint = {
  mended: printFields.mended.default(0),
  mendedMinutes: printFields.mendedMinutes.default(null),
  failures: printFields.failures.default([]),
}

/** Hands what is wrong on to zod, at its place. */
export function refuse(context: z.RefinementCtx, wrong: Wrong | null, within: Wrong[0] = []): void {
  if (wrong) context.addIssue({ code: 'custom', path: [...within, ...wrong[0]], message: wrong[1] })
}

const newPrint = z.strictObject({ ...printFields, ...untoldPrint }).superRefine((print, context) => {
  refuse(context, wrongCounts(print))
})

const changedPrint = z
  .strictObject({ ...printFields, ...untoldPrint, id: id.optional() })
  .superRefine((print, context) => refuse(context, wrongCounts(print)))

const together = (prints: { supportSetId: string; tried: number }[], context: z.RefinementCtx) =>
  refuse(context, wrongPrints(prints))

const several = <Print extends typeof newPrint | typeof changedPrint>(print: Print) =>
  z.array(print).min(1, 'At least one print.').max(mostPrints, `At most ${mostPrints} of them.`)

const told = z
  .boolean()
  .describe('false for a failed plate of which nothing was usable and whose prints are told later; it has none then')

/** What came off a printer at once: one or more prints. */
export const newPlate = z
  .strictObject({
    ...plateFields,
    ...untoldPlate,
    told: told.default(true),
    prints: several(newPrint).superRefine(together).optional(),
  })
  .superRefine(({ told: isTold, prints }, context) => {
    if (isTold && !prints) context.addIssue({ code: 'custom', path: ['prints'], message: 'At least one print.' })
    if (!isTold && prints)
      context.addIssue({ code: 'custom', path: ['told'], message: 'This must be true for a plate with prints.' })
  })
  .meta({ id: 'NewPlate' })

/** With `prints` all of them are told anew: those with an `id`, or with the same supports as before, stay what they are. */
export const changedPlate = z
  .strictObject({ ...plateFields, prints: several(changedPrint).superRefine(together) })
  .partial()
  .meta({ id: 'ChangedPlate' })

const share = z.number().min(0).max(1)
const shares = { file: share, machine: share, plate: share }

export const verdictSchema = z
  .object({
    ...shares,
    plate: share.describe('the three shares of the blame add up to 1; all 0 when nothing failed'),
    likely: z
      .enum(['file', 'machine', 'plate'])
      .nullable()
      .describe('what it most likely was; null where that cannot be said'),
    prints: z
      .array(z.object({ id, ...shares }))
      .describe('the shares by print, as far as anything of it failed; `id` is the print’s'),
    counted: z.boolean().describe('by all reports of the group; false while the last fit does not know this plate'),
    advice: z.array(z.object({ code: z.string(), words: z.string() })).describe('the most pressing first'),
    wouldTell: z.string().nullable().describe('what was seen and what would tell, where nothing is likely'),
    upkeepSince: day.nullable().describe('of the first upkeep of the printer after this plate; null if there was none'),
    canTell: z.boolean().describe('false when nothing failed, or the file cannot be told from the printer yet'),
  })
  .meta({ id: 'Verdict' })

const person = z.object({ id, name: z.string() })

export const printSchema = z
  .object({
    id,
    file: z.object({ id, title: z.string() }),
    supportSet: z.object({ id, kind: supportKind, revision: z.string().describe("the revision's label") }),
    tried: z.int(),
    good: z.int(),
    mended: z.int(),
    mendedMinutes: z.int().nullable(),
    failures: z.array(z.object({ seen, copies: z.int() })),
  })
  .meta({ id: 'Print' })

/** What a plate and each of its prints as a report say alike. */
export const plateFacts = {
  member: person,
  printer: person,
  printedOn: day,
  crowding,
  crowdingWorkedOut: z.boolean().describe('from what the copies cover; false where whoever printed it said so'),
  remark: z.string(),
  createdAt: instant,
  version,
  resin: person.nullable().describe('the one that the plate names, told to whoever printed it alone'),
}

export const plateSchema = z.object({ id, ...plateFacts, told, prints: z.array(printSchema) }).meta({ id: 'Plate' })

export const judgedPlateSchema = plateSchema.extend({ verdict: verdictSchema }).meta({ id: 'JudgedPlate' })

export const plateList = z.object({
  ...pageQuery,
  printerId: id.optional(),
  memberId: id.optional(),
  told: z.enum(['true', 'false']).optional(),
})

export type NewPlate = z.infer<typeof newPlate>
export type ChangedPlate = z.infer<typeof changedPlate>
export type NewPrint = z.infer<typeof newPrint>
export type ChangedPrint = z.infer<typeof changedPrint>
export type Plate = z.infer<typeof plateSchema>
export type Print = z.infer<typeof printSchema>
export type Verdict = z.infer<typeof verdictSchema>
export type PlateList = z.infer<typeof plateList>
