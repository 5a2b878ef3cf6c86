import { z } from 'zod'
import { id } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { wrongCounts } from '../plates/rules.ts'
import {
  plateFacts,
  plateFields,
  printFields,
  printSchema,
  refuse,
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
