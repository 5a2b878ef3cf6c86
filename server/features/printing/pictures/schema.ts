import { z } from 'zod'
import { pictureSizes } from '../../../http/face.ts'
import { id, instant, optionalLine, quantity, version, wholeNumber } from '../../../http/fields.ts'
import { pageQuery } from '../../../http/paging.ts'
import { mostPictures, refusals } from './rules.ts'

const isRefusal = (text: string): text is keyof typeof refusals => Object.hasOwn(refusals, text)

/** A picture that was sent along, by the hash of its content; or, from a form, why it was not taken. */
const sent = z
  .string()
  .superRefine((text, context) => {
    if (/^[0-9a-f]{64}$/.test(text)) return
    context.addIssue({ code: 'custom', message: isRefusal(text) ? refusals[text] : refusals['no picture'] })
  })
  .meta({ examples: ['3f1c'.repeat(16)] })
const alt = optionalLine(300).describe('what is to be seen, for those who do not see it')

/** What forms send with their pictures. */
export const sentPictures = {
  pictures: z.array(sent).max(mostPictures, refusals['too many']),
  alt,
}

/** Pictures that a plate's form may bring; `pictured` is the number of the print that is to be seen. */
export const formPictures = {
  pictures: sentPictures.pictures.default([]),
  alt: alt.default(''),
  pictured: wholeNumber(0, 100).default(0),
}

/** One picture or several, as multipart/form-data: files called `pictures`, and `alt`. */
export const newPictures = z
  .strictObject({ pictures: sentPictures.pictures.min(1, 'Choose a picture.'), alt: alt.default('') })
  .meta({ id: 'NewPictures' })

/** The same, of a plate with several prints. */
export const platePictures = z.strictObject({ ...newPictures.shape, pictured: formPictures.pictured })

const hundredths = z.number().min(0, 'At least 0.').max(100, 'At most 100.')
const cut = z.number().min(0, 'At least 0.').max(90, 'At most 90.')

const leavesSome = ({ left, top, right, bottom }: { left: number; top: number; right: number; bottom: number }) =>
  left + right <= 90 && top + bottom <= 90

/** What is cut off each side. */
export const crop = z
  .strictObject({
    left: cut.default(0),
    top: cut.default(0),
    right: cut.default(0),
    bottom: cut.default(0),
  })
  .refine(leavesSome, 'At least a tenth of each side has to stay.')
  .describe('per cent of the whole picture that are cut off each side')
  .meta({ id: 'Crop', examples: [{ left: 10, top: 0, right: 15, bottom: 20 }] })

export const markedBase = z
  .strictObject({
    x1: hundredths,
    y1: hundredths,
    x2: hundredths,
    y2: hundredths,
    widthMm: quantity('mm', 1, 500, 25),
    depth: z
      .number()
      .min(5, 'At least 5.')
      .max(100, 'At most 100.')
      .default(40)
      .describe('how deep that base looks for its width, in per cent: 100 from right above'),
  })
  .refine(({ x1, y1, x2, y2 }) => Math.hypot(x2 - x1, y2 - y1) >= 1, 'The two marks are in the same place.')
  .describe('two opposite marks on the edge of a base, in per cent of the whole picture, and the width of that base')
  .meta({ id: 'MarkedBase', examples: [{ x1: 31, y1: 78, x2: 64, y2: 79, widthMm: 32, depth: 40 }] })

export const changedPicture = z
  .strictObject({ alt, crop: crop.nullable(), base: markedBase.nullable() })
  .partial()
  .meta({ id: 'ChangedPicture' })

const measures = { src: z.string(), width: z.int(), height: z.int() }

export const pictureSchema = z
  .object({
    id,
    file: z.object({ id, title: z.string() }),
    reportId: id.nullable().describe('of the print that it shows; null for one that came without a report'),
    member: z.object({ id, name: z.string() }),
    alt: z.string(),
    ...pictureSizes,
    whole: z.object(measures).describe('before it was cropped'),
    crop: crop.nullable(),
    base: markedBase.nullable(),
    isFace: z.boolean().describe('whether a steward chose it to stand for its file'),
    createdAt: instant,
    version,
  })
  .meta({ id: 'Picture' })

export const picturesSchema = z.object({ items: z.array(pictureSchema) }).meta({ id: 'Pictures' })

export const pictureList = z.object(pageQuery)

export const newFace = z
  .strictObject({ pictureId: id.nullable().describe('null: the newest of a good print') })
  .meta({ id: 'NewFace' })

export type Picture = z.infer<typeof pictureSchema>
export type ChangedPicture = z.infer<typeof changedPicture>
