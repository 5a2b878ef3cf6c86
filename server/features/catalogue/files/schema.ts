import { z } from 'zod'
import { faceSchema } from '../../../http/face.ts'
import {
  base,
  id,
  ids,
  instant,
  lengthMm,
  line,
  lines,
  optionalLine,
  quantity,
  remark,
  shownBase,
  version,
  withDefaults,
} from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { measureSchema, shadow } from '../measures/schema.ts'
import { newOffer, offerSchema } from '../offers/schema.ts'
import { newRevision, revisionSchema, supportKind } from '../revisions/schema.ts'
import { snagSchema } from '../snags/schema.ts'

/** What a file is usually sold or given as; any other word is taken as well. */
export const usualFormats = ['stl', '3mf', 'obj', 'slicer project'] as const

export const credit = z.enum(['named', 'unnamed'])

const resinMl = quantity('ml', 0.01, 100_000)

const fields = {
  title: line(200),
  sculptor: z
    .strictObject({ name: line(120), credit: credit.default('named') })
    .describe('found by name, or made. "unnamed" counts at once; only a steward can take it back'),
  standsInFor: ids(100),
  scaleMm: lengthMm(500, 28).nullable(),
  base: base.nullable(),
  heightMm: lengthMm(1000).nullable(),
  formats: lines(12, 40),
  options: lines(50, 120),
  styleTags: lines(30, 60),
  licence: optionalLine(200),
  resinMl: resinMl.nullable().describe('resin for one copy, supports included; null counts as the group’s own figure'),
  remark: remark(),
}

/** Whoever adds a file need not know who made it; but a wish not to be named needs a name. */
const sculptorIfKnown = z
  .strictObject({ name: optionalLine(120).default(''), credit: credit.default('named') })
  .refine(({ name, credit }) => name !== '' || credit === 'named', {
    path: ['name'],
    error: 'Whose wish is it? Only stewards will see the name.',
  })
  .describe('found by name, or made; without a name the file gets a sculptor of its own, "the sculptor of …"')
  .default({ name: '', credit: 'named' })

/** A printable set of a sculptor's models, with its first revision and one way to get it if they are known. */
export const newFile = z
  .strictObject({
    ...withDefaults(fields, {
      ...{ standsInFor: [], scaleMm: null, base: null, heightMm: null, formats: [], options: [], styleTags: [] },
      ...{ licence: '', resinMl: null, remark: '' },
    }),
    sculptor: sculptorIfKnown,
    revision: newRevision.nullable().default(null),
    offer: newOffer.nullable().default(null),
  })
  .meta({ id: 'NewFile' })

export const changedFile = z.strictObject(fields).partial().meta({ id: 'ChangedFile' })

/** The sculptor as the viewer may see them. */
export const shownSculptorSchema = z
  .object({ id: id.nullable(), name: z.string().nullable(), credit })
  .describe('id and name are null for everybody but stewards where the sculptor asked not to be named')

export const fileSchema = z
  .object({
    id,
    title: z.string(),
    sculptor: shownSculptorSchema,
    standsInFor: z.array(id),
    units: z.array(
      z.object({
        id,
        name: z.string(),
        setting: z.string(),
        scaleMm: z.number(),
        modelsPerUnit: z.int(),
        base: shownBase.nullable(),
      }),
    ),
    scaleMm: z.number().nullable(),
    base: shownBase.nullable(),
    heightMm: z.number().nullable(),
    formats: z.array(z.string()),
    options: z.array(z.string()),
    styleTags: z.array(z.string()),
    licence: z.string(),
    resinMl: z.number().nullable(),
    remark: z.string(),
    shadow: shadow.nullable().describe('what it is drawn by; null while nobody has measured it'),
    face: faceSchema.nullable().describe('a picture of a member’s good print, which stands for it'),
    createdBy: z.object({ id, name: z.string() }),
    createdAt: instant,
    version,
  })
  .meta({ id: 'File' })

const share = z.number().min(0).max(1)

/** A chance with its uncertainty. */
export const shares = z.object({
  mean: share,
  low: share,
  high: share.describe('low and high are the ends of the 80 % interval'),
})

/** How well a file prints with one kind of support. */
export const printSuccess = shares
  .extend({
    kind: supportKind,
    supportSetId: id.nullable().describe('of the newest revision that has this kind'),
    copies: z.number().min(0).describe("copies' worth of reports behind it; 0 while it is a guess"),
    basis: z
      .enum(['sculptor', 'group', 'nothing'])
      .describe(
        "what it is guessed from while there are no copies: the sculptor's other files, all of the group's, or what is usual while the group has no reports",
      ),
    cantTell: z.boolean().describe('the file cannot be told from the one printer that it was printed on'),
  })
  .describe('the chance that a copy does not fail by the file: the file alone')

/** A file with all that the group knows about it. */
export const wholeFileSchema = fileSchema
  .extend({
    revisions: z.array(revisionSchema).describe('oldest first'),
    offers: z.array(offerSchema),
    snags: z.array(snagSchema).describe('those that stand in the way first, the mended ones last'),
    printSuccess: z
      .array(
        printSuccess.extend({
          comesOut: shares.describe(
            'all in: chance that a copy comes out on a machine in good order and a plate about full',
          ),
        }),
      )
      .describe('by kind of support'),
    measures: z.array(measureSchema).describe('of its revisions and their support sets, as far as anybody took them'),
    inArchive: z.boolean().describe('whether the caller has noted it as theirs'),
  })
  .meta({ id: 'WholeFile' })

export const fileList = z.object({
  ...pageQuery,
  q: z.string().max(200).optional(),
  unitId: id.optional(),
  sculptorId: id.optional(),
})

export const sculptorSchema = z
  .object({
    id,
    name: z.string(),
    credit,
    files: z.int(),
    createdAt: instant,
    version,
    typedBy: z
      .object({ id, name: z.string() })
      .nullable()
      .describe('for stewards: the member who typed this name of one who asked not to be named; null for all others'),
  })
  .meta({ id: 'Sculptor' })

export const changedSculptor = z
  .strictObject({ name: line(120), credit })
  .partial()
  .meta({ id: 'ChangedSculptor' })

export const sculptorList = z.object({ ...pageQuery, q: z.string().max(120).optional() })

export type NewFile = z.infer<typeof newFile>
export type ChangedFile = z.infer<typeof changedFile>
export type File = z.infer<typeof fileSchema>
export type WholeFile = z.infer<typeof wholeFileSchema>
export type FileList = z.infer<typeof fileList>
export type Sculptor = z.infer<typeof sculptorSchema>
export type ChangedSculptor = z.infer<typeof changedSculptor>
