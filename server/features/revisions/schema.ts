import { z } from 'zod'
import { day, id, instant, line, optionalLine } from '../../http/fields.ts'

export const supportKind = z.enum(['as supplied', 'extra supports', 'own supports'])

/** A dated state of a file. */
export const newRevision = z
  .strictObject({
    label: line(80),
    releasedOn: day.nullable().default(null),
    sha256: z
      .string()
      .trim()
      .toLowerCase()
      .regex(/^[0-9a-f]{64}$/, 'A SHA-256 has 64 digits from 0 to f.')
      .nullable()
      .default(null)
      .describe('of the file as downloaded, to tell revisions apart'),
    supportKinds: z.array(supportKind).max(3).default([]).describe('support sets to add along with it'),
  })
  .meta({ id: 'NewRevision' })

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
    createdAt: instant,
  })
  .meta({ id: 'Revision' })

export type NewRevision = z.infer<typeof newRevision>
export type NewSupportSet = z.infer<typeof newSupportSet>
export type Revision = z.infer<typeof revisionSchema>
export type SupportSet = z.infer<typeof supportSetSchema>
