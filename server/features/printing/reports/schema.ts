import { z } from 'zod'
import type { Values } from '../../../../web/parts/form.tsx'
import { id } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { seen as seenKinds, unknown } from '../../../scoring/labels.ts'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import { formPictures } from '../pictures/schema.ts'
import { mostPrints, wrongCounts } from '../plates/rules.ts'
import {
  type Plate,
  type Print,
  plateFacts,
  plateFields,
  printFields,
  printSchema,
  refuse,
  seen,
  someCopies,
  untoldPlate,
  untoldPrint,
  verdictSchema,
} from '../plates/schema.ts'

const fields = { ...plateFields, ...printFields }

/** How a plate of one print came out: of so many copies so many good, the others by what was seen. */
export const newReport = z
  .strictObject({ ...fields, ...untoldPrint, ...untoldPlate })
  .superRefine((report, context) => refuse(context, wrongCounts(report)))
  .meta({ id: 'NewReport' })

/** Counts are checked as they stand after the change; what is said of the plate changes for all of its prints. */
export const changedReport = z.strictObject(fields).partial().meta({ id: 'ChangedReport' })

/** A print, with what is known of its plate. */
export const reportSchema = printSchema.extend({ plateId: id, ...plateFacts }).meta({ id: 'Report' })

export const judgedReportSchema = reportSchema.extend({ verdict: verdictSchema }).meta({ id: 'JudgedReport' })

export const reportList = z.object({
  ...pageQuery,
  fileId: id.optional(),
  printerId: id.optional(),
  memberId: id.optional(),
})

export type NewReport = z.infer<typeof newReport>
export type ChangedReport = z.infer<typeof changedReport>
export type Report = z.infer<typeof reportSchema>
export type ReportList = z.infer<typeof reportList>

/** A set that is there, or a kind that the file has no set of yet. */
const supports = z.union([id, supportKind], 'Which supports were on it?')

/** A count for everything that can be seen; what they leave open of the failed copies counts as not known. */
const seenCounts = z.partialRecord(seen, someCopies)

const formPrint = z
  .strictObject({
    id: id.optional(),
    fileId: id,
    supports,
    entryId: id.optional(),
    tried: printFields.tried,
    good: printFields.good,
    mended: someCopies.default(0),
    mendedMinutes: printFields.mendedMinutes.default(null),
    failures: seenCounts.default({}),
  })
  .transform((print, context) => {
    const said = seenKinds.map((kind) => ({ seen: kind, copies: print.failures[kind] ?? 0 }))
    const open = print.tried - print.good - said.reduce((sum, { copies }) => sum + copies, 0)
    const failures = said
      .map((one) => (one.seen === unknown ? { ...one, copies: one.copies + Math.max(0, open) } : one))
      .filter(({ copies }) => copies > 0)
    refuse(context, wrongCounts({ ...print, failures }))
    return { ...print, failures }
  })

const notAdded = z.literal('', 'Look this up and add it, or empty the field.')

/** A plate as its form sends it: the prints by number, pictures of them, and what is being looked up for a further one. */
export const plateForm = z
  .strictObject({
    ...plateFields,
    ...untoldPlate,
    ...formPictures,
    prints: z
      .record(z.string(), formPrint, 'What was on the plate?')
      .refine((prints) => Object.keys(prints).length <= mostPrints, `At most ${mostPrints} of them.`),
    q: notAdded.optional(),
  })
  .transform(({ prints, q: _q, ...plate }) => ({ ...plate, prints: inOrder(prints) }))

/** A plate of which nothing was usable: its prints are told later. The day is told where it may be sent days later. */
export const wetForm = z.strictObject({ printerId: id, printedOn: plateFields.printedOn.optional() })

/** By the numbers that the form gave them. */
function inOrder<Value>(numbered: Record<string, Value>): Value[] {
  return Object.entries(numbered)
    .sort(([one], [other]) => Number(one) - Number(other))
    .map(([, value]) => value)
}

const ofPrint = /^prints\.(\d+)\.(.+)$/

/** The prints in the values of a form, each by the names of its own fields, in the order of their numbers. */
export function printsIn(values: Values): Values[] {
  const prints: Record<string, Values> = {}
  for (const [name, value] of Object.entries(values)) {
    const [, number, field] = ofPrint.exec(name) ?? []
    if (number === undefined || field === undefined) continue
    prints[number] ??= {}
    prints[number][field] = value
  }
  return inOrder(prints).slice(0, mostPrints)
}

/** The values of a form with other prints, numbered from 0. */
export function withPrints(values: Values, prints: readonly Values[]): Values {
  const others = Object.entries(values).filter(([name]) => !ofPrint.test(name))
  const numbered = prints.flatMap((print, index) =>
    Object.entries(print).map(([field, value]) => [`prints.${index}.${field}`, value] as const),
  )
  return Object.fromEntries([...others, ...numbered])
}

/** A plate as the values of its form. */
export function valuesOf({ printer, resin, printedOn, remark, prints, ...plate }: Plate): Values {
  // Of one that is still to be told nobody has said how full it was.
  const crowding = plate.told && !plate.crowdingWorkedOut ? plate.crowding : ''
  const values = { printerId: printer.id, resinId: resin?.id ?? '', printedOn, crowding, remark }
  return withPrints(values, prints.map(printValues))
}

const printValues = (print: Print): Values => ({
  id: print.id,
  fileId: print.file.id,
  supports: print.supportSet.id,
  tried: String(print.tried),
  good: String(print.good),
  mended: print.mended > 0 ? String(print.mended) : '',
  mendedMinutes: String(print.mendedMinutes ?? ''),
  ...Object.fromEntries(print.failures.map(({ seen: kind, copies }) => [`failures.${kind}`, String(copies)])),
})
