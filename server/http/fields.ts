import { z } from 'zod'
import { baseShapes } from '../../db/rows/words.ts'
import { isDay } from './day.ts'
import { isCurrency, parseAmount } from './money.ts'

/*
 * The kinds of field that bodies and forms share. Limits are here and nowhere else.
 */

// Line breaks and tabs belong to long text; other control characters and halves of a surrogate pair belong to none
// (PostgreSQL refuses NUL, and a lone surrogate can't be written as UTF-8). Nor do those that turn the direction of
// the text around them, by which a name could dress up as another.
const shortControl = /[\p{Cc}\u{202a}-\u{202e}\u{2066}-\u{2069}]/u
const longControl = /[^\P{Cc}\n\t]/u

/** What is too long is looked at no further: neither by the rules that follow nor by those of the whole body. */
export const tooLong = (max: number) => ({ error: `At most ${max} characters.`, abort: true })

/** One line of text, trimmed, 1 to `max` characters. */
export const line = (max: number) =>
  z
    .string()
    .trim()
    .min(1, 'Please fill this in.')
    .max(max, tooLong(max))
    .refine((text) => text === '' || /[^\p{C}\p{Z}]/u.test(text), 'It has no visible characters.')
    .refine(
      (text) => text.isWellFormed() && !shortControl.test(text),
      'It contains a character that can’t be stored. Type it again by hand.',
    )

/** One line of text that may be empty. */
export const optionalLine = (max: number) =>
  z
    .string()
    .trim()
    .max(max, tooLong(max))
    .refine(
      (text) => text.isWellFormed() && !shortControl.test(text),
      'It contains a character that can’t be stored. Type it again by hand.',
    )

/** Several lines of text, trimmed, possibly empty; CRLF becomes LF. */
export const remark = (max = 2000) =>
  z
    .string()
    .overwrite((text) => text.replace(/\r\n?/g, '\n').trim())
    .max(max, tooLong(max))
    .refine(
      (text) => text.isWellFormed() && !longControl.test(text),
      'It contains a character that can’t be stored. Type it again by hand.',
    )

/** A short list of short lines without repetition (aliases, must-haves, options, tags). */
export const lines = (most: number, max: number) =>
  z
    .array(line(max))
    .max(most, `At most ${most} of them.`)
    .overwrite((all) => [...new Set(all)])

/** The id in every example of the documentation. */
export const exampleId = '01a1f0c2-6f4e-7b3a-9c55-2f6d1e0a7b31'

/** In small letters, as the database gives it back: ids are compared, and listed without repetition. */
export const id = z.uuid('This is not an id.').toLowerCase()

/** Ids without repetition. */
export const ids = (most: number) =>
  z
    .array(id)
    .max(most, `At most ${most} of them.`)
    .overwrite((all) => [...new Set(all)])

export const sha256 = z
  .string()
  .trim()
  .toLowerCase()
  .regex(/^[0-9a-f]{64}$/, 'A SHA-256 has 64 digits from 0 to f.')

/** No name is longer; likeness is worked out for every name in proportion to this. */
const mostLookedFor = 200

/**
 * What somebody looks for: its first 200 characters. No name has a control character in it, and PostgreSQL refuses NUL:
 * they count as blanks.
 */
export const wordsOf = (looked: string | undefined) =>
  looked
    ?.slice(0, mostLookedFor)
    .replace(/\p{Cc}/gu, ' ')
    .trim()

/** A calendar day, `YYYY-MM-DD`, that exists. */
export const day = z.string().refine(isDay, 'A day as YYYY-MM-DD, please.').meta({ format: 'date' })

export const instant = z.iso.datetime()

/** A number that need not be whole. @param such what one may look like, for whoever left it empty */
export const quantity = (unit: string, least: number, most: number, such = 2.5) =>
  z
    .number(`How many ${unit}? Enter a number, such as ${such}.`)
    .min(least, `At least ${least} ${unit}.`)
    .max(most, `At most ${most} ${unit}.`)

/** A length in mm, a tenth at least. @param such what one may look like */
export const lengthMm = (max = 1000, such = 25) => quantity('mm', 0.1, max, such)

/** @param wanted what is asked of whoever typed something else */
export const wholeNumber = (least: number, most: number, wanted = 'Enter a whole number.') =>
  z.int(wanted).min(least, `At least ${least}.`).max(most, `At most ${most}.`)

/** A count of at least one. */
export const count = (max: number) => wholeNumber(1, max, 'Enter a whole number, 1 or more.')

const amountShape = /^\d{1,9}(\.\d{1,4})?$/

/** A count that may be none. */
export const countOrNone = (max: number) => wholeNumber(0, max, 'Enter a whole number, 0 for none.')

/** Money as it is given to us: a decimal string with at most the currency's ISO 4217 minor digits. */
export const money = z
  .strictObject({
    amount: z.string().regex(amountShape, 'An amount such as 12.50, not negative.'),
    currency: z.string().refine(isCurrency, 'This is not a currency code such as EUR (ISO 4217).'),
  })
  .superRefine((value, context) => {
    if (!amountShape.test(value.amount) || !isCurrency(value.currency)) return
    if (parseAmount(value.amount, value.currency) === undefined)
      context.addIssue({
        code: 'custom',
        path: ['amount'],
        message: `Too many digits after the point for ${value.currency}.`,
      })
  })
  .meta({ id: 'NewMoney' })

/** Money as we answer it: with exactly the minor digits of its currency. */
export const shownMoney = z.object({ amount: z.string(), currency: z.string() }).meta({ id: 'Money' })

/** The base that a model stands on: round has a width alone, oval and rectangle a length as well. */
export const base = z
  .strictObject({
    shape: z.enum(baseShapes),
    widthMm: lengthMm(500),
    lengthMm: lengthMm(500).nullish(),
  })
  .superRefine((value, context) => {
    if (value.shape === 'round' && value.lengthMm != null)
      context.addIssue({
        code: 'custom',
        path: ['lengthMm'],
        message: 'A round base has only a width: leave the length empty.',
      })
    if (value.shape !== 'round' && value.lengthMm == null)
      context.addIssue({ code: 'custom', path: ['lengthMm'], message: 'How long is it?' })
  })
  .meta({ id: 'NewBase', examples: [{ shape: 'oval', widthMm: 50, lengthMm: 30 }] })

/** A base as we answer it. */
export const shownBase = z
  .object({ shape: z.enum(baseShapes), widthMm: z.number(), lengthMm: z.number().nullable() })
  .meta({ id: 'Base' })

/**
 * A link to the open web; `javascript:` and the like never get in, nor what stands before an @, by which a link looks
 * as if it led elsewhere.
 */
export const link = z
  .string()
  .trim()
  .max(2000, tooLong(2000))
  .refine(isWebAddress, 'A link that starts with http:// or https://, please.')
  .overwrite((text) => text.replace(/^https?/i, (scheme) => scheme.toLowerCase()))

function isWebAddress(text: string): boolean {
  if (!/^https?:\/\/[^\s\p{C}]+$/iu.test(text)) return false
  const url = URL.parse(text)
  return url !== null && url.username === '' && url.password === ''
}

export const version = z.int().min(1)

type Defaulted<Fields extends z.ZodRawShape, Defaults> = {
  [Name in keyof Fields]: Name extends keyof Defaults ? z.ZodDefault<Fields[Name]> : Fields[Name]
}

/** Fields of which some may be left out. @param defaults what counts then */
export function withDefaults<
  Fields extends Record<string, z.ZodType>,
  Defaults extends { [Name in keyof Fields]?: z.output<Fields[Name]> },
>(fields: Fields, defaults: Defaults): Defaulted<Fields, Defaults> {
  const all = Object.entries(fields).map(([name, field]) => [
    name,
    Object.hasOwn(defaults, name) ? field.default(defaults[name]) : field,
  ])
  return Object.fromEntries(all)
}
