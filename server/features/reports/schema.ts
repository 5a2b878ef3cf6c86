import { z } from 'zod'
import { count, day, id, instant, remark, version } from '../../http/fields.ts'
import { pageQuery } from '../../http/paging.ts'
import { type Seen as KnownSeen, seen as seenKinds } from '../../scoring/labels.ts'
import { supportKind } from '../revisions/schema.ts'

export const seen = z.enum(seenKinds as [KnownSeen, ...KnownSeen[]])
export const crowding = z.enum(['loose', 'normal', 'packed'])

/** More than that is no single plate. */
const mostCopies = 500

const failures = z
  .array(z.strictObject({ seen, copies: count(mostCopies) }))
  .max(seenKinds.length, `At most ${seenKinds.length} of them.`)

const fields = {
  supportSetId: id,
  printerId: id,
  printedOn: day,
  tried: count(mostCopies),
  good: z.int('A whole number, please.').min(0, 'Not less than 0.').max(mostCopies, `At most ${mostCopies}.`),
  failures,
  crowding,
  remark: remark(1000),
}

type Counts = { tried: number; good: number; failures: { seen: KnownSeen; copies: number }[] }

/** What is wrong with a report's counts, as the place and the words; nothing when they add up. */
export function wrongCounts({
  tried,
  good,
  failures: failed,
}: Counts): [path: (string | number)[], message: string] | null {
  const twice = failed.findIndex(({ seen: kind }, index) => failed.findIndex((other) => other.seen === kind) !== index)
  if (twice >= 0) return [['failures', twice, 'seen'], 'This is listed twice; put the copies together.']
  const sum = failed.reduce((copies, failure) => copies + failure.copies, 0)
  if (good + sum === tried) return null
  return [['failures'], `${good} good and ${sum} failed are not the ${tried} that were tried.`]
}

/** How a plate came out: of so many copies so many good, the others by what was seen. */
export const newReport = z
  .strictObject({ ...fields, failures: failures.default([]), remark: fields.remark.default('') })
  .superRefine((report, context) => {
    const wrong = wrongCounts(report)
    if (wrong) context.addIssue({ code: 'custom', path: wrong[0], message: wrong[1] })
  })
  .meta({ id: 'NewReport' })

/** Counts are checked as they stand after the change. */
export const changedReport = z.strictObject(fields).partial().meta({ id: 'ChangedReport' })

const share = z.number().min(0).max(1)

export const verdictSchema = z
  .object({
    file: share,
    machine: share,
    plate: share.describe('the three shares of the blame add up to 1; all 0 when nothing failed'),
    advice: z.array(z.object({ code: z.string(), words: z.string() })).describe('the most pressing first'),
    upkeepSince: day.nullable().describe('of the first upkeep of the printer after this plate; null if there was none'),
    canTell: z.boolean().describe('false when nothing failed, or the file can not be told from the printer yet'),
  })
  .meta({ id: 'Verdict' })

export const reportSchema = z
  .object({
    id,
    member: z.object({ id, name: z.string() }),
    file: z.object({ id, title: z.string() }),
    supportSet: z.object({ id, kind: supportKind, revision: z.string().describe("the revision's label") }),
    printer: z.object({ id, name: z.string() }),
    printedOn: day,
    tried: z.int(),
    good: z.int(),
    failures: z.array(z.object({ seen, copies: z.int() })),
    crowding,
    remark: z.string(),
    createdAt: instant,
    version,
  })
  .meta({ id: 'Report' })

export const judgedReportSchema = reportSchema.extend({ verdict: verdictSchema }).meta({ id: 'JudgedReport' })

export const reportList = z.object({
  ...pageQuery,
  fileId: id.optional(),
  printerId: id.optional(),
  memberId: id.optional(),
})

/** Of a form: a set that is there, or a kind that the file has no set of yet. */
const supports = z.union([id, supportKind], 'Which supports were on it?')

/** A count for everything that can be seen; what they leave open of the failed copies counts as not known. */
const seenCounts = z.partialRecord(
  seen,
  z.int('A whole number, please.').min(0, 'Not less than 0.').max(mostCopies, `At most ${mostCopies}.`),
)

const formFields = z.strictObject({
  supports,
  ...{ printerId: fields.printerId, printedOn: fields.printedOn, crowding: fields.crowding },
  ...{ tried: fields.tried, good: fields.good, failures: seenCounts.default({}), remark: fields.remark.default('') },
})

type FromForm = Pick<z.infer<typeof formFields>, 'tried' | 'good' | 'failures'>

function withFailures<Form extends FromForm>(form: Form, context: z.RefinementCtx) {
  const said = seenKinds.map((kind) => ({ seen: kind, copies: form.failures[kind] ?? 0 }))
  const open = form.tried - form.good - said.reduce((sum, { copies }) => sum + copies, 0)
  const failed = said
    .map((one) => (one.seen === "don't know" ? { ...one, copies: one.copies + Math.max(0, open) } : one))
    .filter(({ copies }) => copies > 0)
  const wrong = wrongCounts({ ...form, failures: failed })
  if (wrong) context.addIssue({ code: 'custom', path: wrong[0], message: wrong[1] })
  return { ...form, failures: failed }
}

export const reportForm = formFields.extend({ fileId: id }).transform(withFailures)
export const changedReportForm = formFields.transform(withFailures)

/** How the fields of a report's form become numbers. */
export const reportNumbers = { numbers: ['tried', 'good', ...seenKinds.map((kind) => `failures.${kind}`)] }

export type NewReport = z.infer<typeof newReport>
export type ChangedReport = z.infer<typeof changedReport>
export type Report = z.infer<typeof reportSchema>
export type JudgedReport = z.infer<typeof judgedReportSchema>
export type Verdict = z.infer<typeof verdictSchema>
export type ReportList = z.infer<typeof reportList>
