import { z } from 'zod'
import { upkeepKinds } from '../../../../db/rows/words.ts'
import { withPlateMm } from '../../../http/base.ts'
import { countOrNone, day, id, instant, lengthMm, line, quantity, remark, version } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'

/** One side of the room that a printer has. */
const side = lengthMm(2000, 120)
const seconds = (least: number, most: number) => quantity('seconds', least, most)

const fields = {
  name: line(80),
  plateMm: z.tuple([side, side]).describe('width and depth'),
  buildHeightMm: side,
  layerUm: quantity('µm', 1, 500, 50).describe('layer height in micrometres'),
  exposureS: seconds(0.1, 600),
  bottomLayers: countOrNone(100),
  bottomExposureS: seconds(0, 600),
  cycleOverheadS: seconds(0, 600).describe('lifting, lowering and waiting, a layer'),
}

/** A member's machine and how it is set. */
export const newPrinter = z.strictObject(fields).meta({ id: 'NewPrinter' })

export const printerState = z.enum(['in use', 'retired'])

export const changedPrinter = z
  .strictObject({ ...fields, state: printerState })
  .partial()
  .meta({ id: 'ChangedPrinter' })

/** Success as it is shown: mean and the 80 % interval, and the copies behind them. */
export const successSchema = z
  .object({ mean: z.number(), low: z.number(), high: z.number(), copies: z.number() })
  .meta({ id: 'Success' })

/** Film, level and vat before the next plate, by the printer's own evidence. */
export const lookSchema = z
  .object({
    due: z.boolean(),
    because: z.enum([
      'probably worn',
      'worse than in order',
      'usual life of a film',
      'long idle',
      'nothing speaks for it',
    ]),
    worn: z.number().describe('chance that the film is worn or the level off, at its last plate that is counted; 0-1'),
    wornSince: z
      .object({ plateId: id, printedOn: day })
      .nullable()
      .describe('the plate with which the wear most likely began; null while it is not likely'),
    words: z.string(),
  })
  .meta({ id: 'LookAtPrinter' })

export const printerSchema = z
  .object({
    id,
    owner: z.object({ id, name: z.string() }),
    name: z.string(),
    plateMm: z.tuple([z.number(), z.number()]),
    buildHeightMm: z.number(),
    layerUm: z.number(),
    exposureS: z.number(),
    bottomLayers: z.int(),
    bottomExposureS: z.number(),
    cycleOverheadS: z.number(),
    state: printerState,
    lastUpkeepOn: day.nullable(),
    success: successSchema.describe('of the machine, at its last plate since the last upkeep'),
    look: lookSchema,
    createdAt: instant,
    version,
  })
  .meta({ id: 'Printer' })

export const upkeepKind = z.enum(upkeepKinds, {
  error: ({ input }) => (input === undefined ? 'Choose what was done.' : undefined),
})

/** What was done to a printer, and when. */
export const newUpkeep = z
  .strictObject({
    kind: upkeepKind,
    on: day,
    remark: remark(500).default('').describe('not empty where the kind is `other`: what was done'),
  })
  .meta({ id: 'NewUpkeep' })

export const upkeepSchema = z
  .object({ id, printerId: id, kind: upkeepKind, on: day, remark: z.string(), createdAt: instant, version })
  .meta({ id: 'Upkeep' })

export const periodSchema = z
  .object({
    startsOn: day.nullable().describe('null for the time before any upkeep was noted'),
    reports: z.int(),
    tried: z.int(),
    good: z.int(),
    success: successSchema,
  })
  .meta({ id: 'UpkeepPeriod' })

/** A plate along which the wear is drawn. */
export const filmPlateSchema = z
  .object({
    id,
    printedOn: day,
    tried: z.int(),
    good: z.int(),
    worn: z
      .number()
      .nullable()
      .describe('chance that the film was worn or the level off on it; null while it is not counted'),
    upkeep: z.array(upkeepKind).optional().describe('what was done to the printer just before it'),
  })
  .meta({ id: 'FilmPlate' })

/** A printer with its upkeep and how it did between. */
export const wholePrinterSchema = printerSchema
  .extend({
    upkeep: z.array(upkeepSchema).describe('newest first'),
    periods: z.array(periodSchema).describe('newest first'),
    film: z.array(filmPlateSchema).describe('the latest plates, oldest first'),
  })
  .meta({ id: 'WholePrinter' })

export const printerList = z.object({ ...pageQuery, memberId: id.optional() })

export type NewPrinter = z.infer<typeof newPrinter>
export type ChangedPrinter = z.infer<typeof changedPrinter>
export type Printer = z.infer<typeof printerSchema>
export type WholePrinter = z.infer<typeof wholePrinterSchema>
export type NewUpkeep = z.infer<typeof newUpkeep>
export type Upkeep = z.infer<typeof upkeepSchema>
export type Look = z.infer<typeof lookSchema>
export type FilmPlate = z.infer<typeof filmPlateSchema>

const { name, plateMm: _plate, ...others } = fields
// In the order of the form, in which its faults are told.
const bySide = z.strictObject({ name, plateWidthMm: side, plateDepthMm: side, ...others })

/** A form has a field for each side of the plate. */
export const printerForm = bySide.transform(withPlateMm)
export const changedPrinterForm = bySide.extend({ state: printerState }).transform(withPlateMm)
