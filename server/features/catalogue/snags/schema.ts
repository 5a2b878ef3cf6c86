import { z } from 'zod'
import { severities, snagKinds, snagStates } from '../../../../db/rows/words.ts'
import { count, exampleId, id, instant, optionalLine, remark, version, withDefaults } from '../../../http/fields.ts'
import { refuseAll } from '../../../http/problem.ts'
import { wrongSnag } from './rules.ts'

export const snagKind = z.enum(snagKinds)
export const severity = z.enum(severities)
export const snagState = z.enum(snagStates)

const fields = {
  kind: snagKind,
  severity,
  part: optionalLine(120),
  minutes: count(6000).nullable().describe('that it costs each print, where the severity is "costs time"'),
  detail: remark(),
}

/** An open issue of a file's revision. */
export const newSnag = z
  .strictObject({
    revisionId: id,
    ...withDefaults(fields, { part: '', minutes: null, detail: '' }),
  })
  .superRefine((snag, context) => refuseAll(context, wrongSnag({ ...snag, state: 'open', mendedInRevisionId: null })))
  .meta({
    id: 'NewSnag',
    examples: [
      { revisionId: exampleId, kind: 'unsupported part', severity: 'costs time', part: 'left arm', minutes: 15 },
    ],
  })

export const changedSnag = z
  .strictObject({ ...fields, state: snagState, mendedInRevisionId: id.nullable() })
  .partial()
  .meta({ id: 'ChangedSnag' })

export const snagSchema = z
  .object({
    id,
    fileId: id,
    revisionId: id,
    kind: snagKind,
    severity,
    part: z.string(),
    minutes: z.int().nullable(),
    detail: z.string(),
    state: snagState,
    mendedInRevisionId: id.nullable(),
    createdBy: z.object({ id, name: z.string() }),
    createdAt: instant,
    version,
  })
  .meta({ id: 'Snag' })

export type NewSnag = z.infer<typeof newSnag>
export type ChangedSnag = z.infer<typeof changedSnag>
export type Snag = z.infer<typeof snagSchema>
