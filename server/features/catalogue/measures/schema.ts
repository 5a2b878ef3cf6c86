import { z } from 'zod'
import { id, instant, line, sha256, wholeNumber, withDefaults } from '../../../http/fields.ts'
import { refuseAll } from '../../../http/problem.ts'
import { implausible } from './rules.ts'

const hundredth = (value: number) => Math.round(100 * value) / 100
const atMost = (most: number, unit: string) =>
  z.number().min(0, 'At least 0.').max(most, `At most ${most} ${unit}.`).overwrite(hundredth)
const mostCounted = 100_000_000
const counted = wholeNumber(0, mostCounted)

const mostMm = 5000
const size = z.number().min(0.1, 'At least 0.1 mm.').max(mostMm, `At most ${mostMm} mm.`).overwrite(hundredth)
/** Of an outline, which reaches past its edges a little. */
const coordinate = z
  .number()
  .min(-mostMm)
  .max(2 * mostMm)
  .overwrite(hundredth)

/** An outline has at most so many points. */
export const mostPoints = 240
/** Of what begins in mid-air the largest are kept. */
export const mostStarts = 200

const outline = z
  .array(z.array(z.tuple([coordinate, coordinate])).min(3, 'A ring has at least three points.'))
  .min(1, 'An outline has at least one ring.')
  .refine((rings) => rings.flat().length <= mostPoints, `At most ${mostPoints} points.`)
  .describe(
    'closed rings of points in mm, filled by the even-odd rule; x from the left edge, y from the lowest point upwards',
  )

const triangle: [number, number][][] = [
  [
    [0, 0],
    [24, 0],
    [12, 36],
  ],
]

/** An outline as we answer it. */
const shownOutline = z
  .array(z.array(z.tuple([z.number(), z.number()])))
  .describe('closed rings of points in mm, filled by the even-odd rule')
  .meta({ id: 'Outline', examples: [triangle] })

const start = z.strictObject({
  heightMm: atMost(mostMm, 'mm'),
  xMm: coordinate,
  yMm: coordinate,
  areaMm2: atMost(1e8, 'mm²'),
})

const fields = {
  sha256s: z.array(sha256).max(100, 'At most 100 of them.').describe('one for each mesh file that was measured'),
  widthMm: size,
  depthMm: size,
  heightMm: size,
  volumeMl: z.number().min(0, 'At least 0.').max(1e6, 'At most 1000000 ml.').nullable(),
  surfaceMm2: atMost(1e10, 'mm²').nullable(),
  overlapping: z.boolean().nullable().describe('shells lie within each other: the volume is an upper bound'),
  shells: counted.nullable(),
  openEdges: counted.nullable().describe('edges of one triangle only'),
  nonManifoldEdges: counted.nullable().describe('edges of more than two triangles'),
  invertedShells: counted.nullable(),
  widestLayerMm2: atMost(1e8, 'mm²').nullable(),
  widestLayerAtMm: atMost(mostMm, 'mm').nullable(),
  front: outline.nullable(),
  side: outline.nullable(),
  above: outline.nullable().describe('seen from above: what it covers of the plate'),
  midAir: z
    .array(start)
    .max(mostStarts, `At most ${mostStarts} of them.`)
    .nullable()
    .describe('where something begins in mid-air, a hint; null where it was not looked for'),
  layerUm: z.number().min(1, 'At least 1 µm.').max(500, 'At most 500 µm.').nullable(),
}

const example = {
  sha256s: ['9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08'],
  ...{ widthMm: 24, depthMm: 18, heightMm: 36, volumeMl: 4.1, surfaceMm2: 3120, overlapping: false, shells: 3 },
  ...{ openEdges: 0, nonManifoldEdges: 0, invertedShells: 0, widestLayerMm2: 240, widestLayerAtMm: 2.5 },
}
/** What was measured of a revision, or typed: then everything but the size may be left out. */
export const newMeasure = z
  .strictObject(
    withDefaults(fields, {
      ...{ sha256s: [], volumeMl: null, surfaceMm2: null, overlapping: null, shells: null, openEdges: null },
      ...{ nonManifoldEdges: null, invertedShells: null, widestLayerMm2: null, widestLayerAtMm: null },
      ...{ front: null, side: null, above: null, midAir: null, layerUm: null },
    }),
  )
  .superRefine((measure, context) => refuseAll(context, implausible(measure)))
  .meta({ id: 'NewMeasure', examples: [{ ...example, front: triangle }] })

export const measureSchema = z
  .object({
    ...fields,
    front: shownOutline.nullable(),
    side: shownOutline.nullable(),
    above: shownOutline.nullable().describe('seen from above: what it covers of the plate'),
    revisionId: id,
    supportSetId: id.nullable().describe('null: of the revision as it was sculpted, without supports'),
    measuredBy: z.object({ id, name: z.string() }),
    measuredAt: instant,
  })
  .meta({ id: 'Measure' })

export const keptMeasure = measureSchema
  .extend({
    filled: z
      .array(z.enum(['heightMm', 'resinMl']))
      .describe('fields of the file that were empty and were filled by it'),
  })
  .meta({ id: 'KeptMeasure' })

/** What a file is drawn by. */
export const shadow = z
  .object({
    front: shownOutline,
    widthMm: z.number(),
    heightMm: z.number(),
  })
  .meta({ id: 'Shadow', examples: [{ front: triangle, widthMm: 24, heightMm: 36 }] })

export type NewMeasure = z.infer<typeof newMeasure>
export type Measure = z.infer<typeof measureSchema>
export type KeptMeasure = z.infer<typeof keptMeasure>
export type Shadow = z.infer<typeof shadow>

const text = z.string().min(1, 'Measure the files first.').max(200_000, 'Measure the file again.')

/** The numbers that a browser took, as the form of its page sends them. */
export const foundForm = z.strictObject({ measured: text })

/** The same, to be stored for this revision, or for a new one with this label. */
export const keptForm = z.strictObject({ measured: text, label: line(80).optional() })

/** The numbers typed by hand: without scripts, or measured elsewhere. */
export const typedForm = z.strictObject({
  widthMm: fields.widthMm,
  depthMm: fields.depthMm,
  heightMm: fields.heightMm,
  volumeMl: fields.volumeMl,
})
