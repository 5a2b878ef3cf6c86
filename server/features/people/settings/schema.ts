import { z } from 'zod'
import { day, line, money, quantity, shownMoney } from '../../../http/fields.ts'
import { currency } from '../group/schema.ts'
import { localeOf, timeZoneOf } from './rules.ts'

const locale = z
  .string()
  .trim()
  .max(35, 'At most 35 characters.')
  .refine((tag) => localeOf(tag) !== undefined, 'This is not a language and region such as en-GB.')
  .overwrite((tag) => localeOf(tag) ?? tag)

const timeZone = z
  .string()
  .trim()
  .max(60, 'At most 60 characters.')
  .refine((name) => timeZoneOf(name) !== undefined, 'This is not a time zone such as Europe/Lisbon.')
  .overwrite((name) => timeZoneOf(name) ?? name)

const resinGramsPerMl = quantity('g per ml', 0.5, 5, 1.1)
const resinMlPerModel = quantity('ml', 0.1, 10_000)

/** The sums among the settings, all in the group's currency. */
export const sums = ['looksWorth', 'resinPricePerKg', 'perPlate', 'cleanUp', 'cleanUpPerPlate', 'timePerHour'] as const

/** What the group settles for itself. Sums of money are in the group's currency. */
export const settingsSchema = z
  .object({
    name: z.string(),
    currency: z.string(),
    locale: z.string().describe('how numbers and money are written, BCP 47'),
    timeZone: z.string().describe('where the group lives, IANA name'),
    looksWorth: shownMoney.describe('worth of one model that the group would field rather than one it would not'),
    resinPricePerKg: shownMoney,
    resinGramsPerMl: z.number(),
    resinMlPerModel: z.number().describe('for files whose own figure is not known'),
    perPlate: shownMoney.describe('what a plate costs besides its resin: film, gloves, alcohol, power'),
    cleanUp: shownMoney.describe('what a failed copy costs besides its resin'),
    cleanUpPerPlate: shownMoney.describe('what the plate costs besides that on which anything failed'),
    timePerHour: shownMoney.describe('what an hour spent on snags is worth'),
    version: z.int(),
  })
  .meta({ id: 'Settings' })

export const changedSettings = z
  .strictObject({
    name: line(80),
    currency,
    locale,
    timeZone,
    looksWorth: money,
    resinPricePerKg: money,
    resinGramsPerMl,
    resinMlPerModel,
    perPlate: money,
    cleanUp: money,
    cleanUpPerPlate: money,
    timePerHour: money,
  })
  .partial()
  .meta({ id: 'ChangedSettings' })

/** As their form sends them, where nothing may be left empty; the currency is asked only while it can be changed. */
export const wholeSettings = changedSettings.required().partial({ currency: true })

const worth = z
  .number('What is one worth? Enter a number, such as 1.08.')
  .min(0.000_000_01, 'More than 0, please; at least 0.00000001.')
  .max(1e9, 'At most 1000000000.')

/** What one unit of a foreign currency is worth in the group's own, as somebody saw it on a day. */
export const newRate = z.strictObject({ worth, seenOn: day.optional() }).meta({ id: 'NewRate' })

/** The same with its currency and day, as the form asks for it. */
export const datedRate = z.strictObject({ currency, worth, seenOn: day })

export const rateSchema = z
  .object({
    currency: z.string(),
    worth: z.number().describe("what one of this currency is worth in the group's own"),
    seenOn: z.string(),
  })
  .meta({ id: 'Rate' })

export const byCurrency = z.object({ currency })

export type Settings = z.infer<typeof settingsSchema>
export type ChangedSettings = z.infer<typeof changedSettings>
export type Rate = z.infer<typeof rateSchema>
