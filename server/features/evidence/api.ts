import { z } from 'zod'
import { instant } from '../../http/fields.ts'
import { type App, answers } from '../../http/route.ts'
import { lastFit, refit } from './fitting.ts'

const plates = z.int().describe('plates that it knew')
const rhat = z
  .number()
  .describe('how well its two chains agree on what they agree on least: 1 is perfect, over 1.05 is not good')
const effectiveSize = z.number().describe('independent draws that its draws are worth, of what they tell least about')

const refitSchema = z.object({ plates, sweeps: z.int(), rhat, effectiveSize, ms: z.int() }).meta({ id: 'Refit' })

const fitSchema = z
  .object({
    fittedAt: instant.nullable().describe('null before the first fit'),
    plates,
    notCounted: z.int().describe('plates that came, changed or went since'),
    sweeps: z.int(),
    rhat: rhat.nullable(),
    effectiveSize: effectiveSize.nullable(),
  })
  .meta({ id: 'Fit' })

/** How fresh the figures are, and the fit on demand: by itself it comes soon after every report. */
export function evidenceApi(app: App): void {
  app.get('/scoring/fit', answers(fitSchema), async ({ db }) => {
    const { fittedAt, plates, notCounted, sweeps, rhat, effectiveSize } = await lastFit(db)
    return { fittedAt: fittedAt?.toISOString() ?? null, plates, notCounted, sweeps, rhat, effectiveSize }
  })

  app.post(
    '/scoring/fit',
    { config: { access: 'steward', harmlessTwice: true }, ...answers(refitSchema) },
    async ({ db }) => refit(db),
  )
}
