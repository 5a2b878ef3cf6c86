import { z } from 'zod'
import { exampleId, id, instant, lines, remark } from '../../../http/fields.ts'
import { newFile } from '../../catalogue/files/schema.ts'
import { tallySchema } from '../votes/schema.ts'

/** "This file answers that request": a file that is known, or a new one described along with it. */
export const newProposal = z
  .strictObject({
    fileId: id.optional(),
    file: newFile.optional(),
    covers: lines(20, 120).default([]),
    remark: remark().default(''),
  })
  .refine((body) => (body.fileId === undefined) !== (body.file === undefined), {
    path: ['fileId'],
    message: 'Choose a file, or describe a new one.',
  })
  .meta({ id: 'NewProposal', examples: [{ fileId: exampleId, covers: ['lantern'], remark: 'Stands as tall.' }] })

export const proposalSchema = z
  .object({
    id,
    requestId: id,
    file: z.object({ id, title: z.string() }),
    proposer: z.object({ id, name: z.string() }),
    covers: z.array(z.string()),
    remark: z.string(),
    votes: tallySchema,
    createdAt: instant,
  })
  .meta({ id: 'Proposal' })

export type NewProposal = z.infer<typeof newProposal>
export type Proposal = z.infer<typeof proposalSchema>
