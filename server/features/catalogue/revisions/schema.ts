import { z } from 'zod'
import { supportKinds } from '../../../../db/rows/words.ts'
import { day, id, instant, line, optionalLine, sha256, withDefaults } from '../../../http/fields.ts'

export const supportKind = z.enum(supportKinds)

const fields = {
  label: line(80),
  releasedOn: day.nullable(),
  sha256: sha256.nullable().describe('of the file as downloaded, to tell revisions apart'),
}

/** A dated state of a file. */
export const newRevision = z
  .strictObject({
    ...withDefaults(fields, { releasedOn: null, sha256: null }),
    supportKinds: z.array(supportKind).max(3).default([]).describe('support sets to add along with it'),
  })
  .meta({ id: 'NewRevision' })

export const changedRevision = z.strictObject(fields).partial().meta({ id: 'ChangedRevision' })

/** How a revision is supported. */
export const newSupportSet = z
  .strictObject({
    kind: supportKind,
    claim: optionalLine(300).default('').describe('what the sculptor says of the supports'),
  })
  .meta({ id: 'NewSupportSet' })

export const supportSetSchema = z
  .object({ id, revisionId: id, kind: supportKind, claim: z.string(), createdAt: instant })
  .meta({ id: 'SupportSet' })

export const revisionSchema = z
  .object({
    id,
    fileId: id,
    label: z.string(),
    releasedOn: day.nullable(),
    sha256: z.string().nullable(),
    supportSets: z.array(supportSetSchema),
    createdBy: z.object({ id, name: z.string() }),
    createdAt: instant,
    version: z.int(),
  })
  .meta({ id: 'Revision' })

export type NewRevision = z.infer<typeof newRevision>
export type ChangedRevision = z.infer<typeof changedRevision>
export type NewSupportSet = z.infer<typeof newSupportSet>
export type Revision = z.infer<typeof revisionSchema>
export type SupportSet = z.infer<typeof supportSetSchema>
