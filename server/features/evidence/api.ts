import { z } from 'zod'
import type { App } from '../../http/app-type.ts'
import { instant } from '../../http/fields.ts'
import { problems } from '../../http/openapi.ts'
import { lastFit, refit } from './fitting.ts'

const refitSchema = z
  .object({
    sweeps: z.int(),
    capped: z.boolean().describe('stopped at the most sweeps, not because nothing moved any more'),
    ms: z.int(),
    reports: z.int(),
  })
  .meta({ id: 'Refit' })

const fitSchema = z
  .object({
    fittedAt: instant.nullable().describe('null before the first fit'),
    sweeps: z.int(),
    capped: z.boolean(),
    reports: z.int().describe('that the fit knew'),
    since: z.int().describe('reports that came, changed or went since; each was learnt from as it came'),
  })
  .meta({ id: 'Fit' })

/** The full fit on demand: hyperparameters and plates wait for it, everything else it makes exact. */
export function evidenceApi(app: App): void {
  app.get('/scoring/fit', { schema: { response: { 200: fitSchema, ...problems } } }, async (request) => {
    const { fittedAt, ...fit } = await lastFit(request.db)
    return { ...fit, fittedAt: fittedAt?.toISOString() ?? null }
  })

  app.post(
    '/scoring/fit',
    { config: { access: 'steward', harmlessTwice: true }, schema: { response: { 200: refitSchema, ...problems } } },
    async (request) => refit(request.db),
  )
}
