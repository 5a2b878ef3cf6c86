import { z } from 'zod'
import type { App } from '../../http/app-type.ts'
import { instant } from '../../http/fields.ts'
import { problems } from '../../http/openapi.ts'
import { habits } from '../../scoring/habits.ts'
import { lastFit, refit } from './fitting.ts'
import { doubtedMembers } from './standings.ts'

const refitSchema = z
  .object({
    sweeps: z.int(),
    capped: z.boolean().describe('stopped at the most sweeps, not because nothing moved any more'),
    ms: z.int(),
    reports: z.int(),
  })
  .meta({ id: 'Refit' })

const doubtedSchema = z
  .object({
    member: z.object({ id: z.uuid(), name: z.string() }),
    reports: z.int(),
    surprise: z.number().describe('10 to the power of it: how many times better the habit explains the reports'),
    habit: z.enum(habits).describe('the way of reporting that explains the reports best'),
    weight: z.number().describe("what the member's evidence counts"),
  })
  .meta({ id: 'DoubtedMember' })

const fitSchema = z
  .object({
    fittedAt: instant.nullable().describe('null before the first fit'),
    sweeps: z.int(),
    capped: z.boolean(),
    reports: z.int().describe('that the fit knew'),
    since: z.int().describe('reports that came, changed or went since; each was learnt from as it came'),
    doubted: z
      .array(doubtedSchema)
      .describe("members whose reports contradict everybody else's: for stewards all, for others oneself alone"),
  })
  .meta({ id: 'Fit' })

/** The full fit on demand: hyperparameters and plates wait for it, everything else it makes exact. */
export function evidenceApi(app: App): void {
  app.get('/scoring/fit', { schema: { response: { 200: fitSchema, ...problems } } }, async (request) => {
    const { fittedAt, ...fit } = await lastFit(request.db)
    const doubted = await doubtedMembers(request.db, request.member)
    return {
      ...{ ...fit, fittedAt: fittedAt?.toISOString() ?? null },
      doubted: doubted.map(({ id, name, ...standing }) => ({ member: { id, name }, ...standing })),
    }
  })

  app.post(
    '/scoring/fit',
    { config: { access: 'steward', harmlessTwice: true }, schema: { response: { 200: refitSchema, ...problems } } },
    async (request) => refit(request.db),
  )
}
