import { z } from 'zod'
import {
  count,
  countOrNone,
  id,
  instant,
  lengthMm,
  line,
  money,
  optionalLine,
  shownBase,
  shownMoney,
} from '../../http/fields.ts'
import { pageQuery } from '../../http/paging.ts'
import { shadow } from '../catalogue/measures/schema.ts'
import { requestSchema } from '../requests/requests/schema.ts'
import { mostModels } from './paste/parse.ts'

/** So many entries has the largest roster, and so many lines go into one paste: far more than any army has. */
export const mostEntries = 500

const text = z.string('Paste a list first.').max(1_000_000, `At most ${mostEntries} lines at a time.`)
const bracketed = z
  .enum(['all', 'each'])
  .optional()
  .describe('what “2 x Eel Spears (10 models)” means: 10 in all, or 10 each; asked for where a line says it')
const fields = { name: line(120), shared: z.boolean() }

/** A list of units, its owner's alone until they share it; with `text`, its lines become the entries. */
export const newRoster = z
  .strictObject({ name: fields.name, shared: fields.shared.default(false), text: text.default(''), bracketed })
  .meta({ id: 'NewRoster' })

export const changedRoster = z.strictObject(fields).partial().meta({ id: 'ChangedRoster' })
export const copiedRoster = z.strictObject({ name: fields.name.optional() }).meta({ id: 'CopiedRoster' })

const entryFields = {
  unitId: id,
  words: line(120).describe('what it is called; looked up among the units where no unitId is given'),
  models: count(mostModels),
  retailPrice: money.nullable().describe("null: the price of the unit's box"),
  retailPer: z.enum(['box', 'entry']),
}

const upTo = countOrNone(mostModels)
const assembly = {
  built: upTo.describe('of its printed models; taken back, painted goes back with it'),
  painted: upTo.describe('of those that are built'),
}

/** How far the printed models of an entry have come, as the buttons beside it send it. */
export const assembledEntry = z.strictObject(assembly).partial()

/** One entry, or a pasted list. */
export const newEntries = z
  .strictObject({
    text: text.optional(),
    bracketed,
    unitId: entryFields.unitId.optional(),
    words: entryFields.words.optional(),
    models: entryFields.models.optional(),
    retailPrice: entryFields.retailPrice.default(null),
    retailPer: entryFields.retailPer.default('box'),
  })
  .superRefine((body, context) => {
    const isPaste = body.text !== undefined
    const isOne = body.unitId !== undefined || body.words !== undefined
    if (isPaste === isOne)
      context.addIssue({ code: 'custom', path: ['words'], message: 'Which unit? Or paste a list.' })
    if (isPaste && (body.models !== undefined || body.retailPrice !== null))
      context.addIssue({
        code: 'custom',
        path: ['text'],
        message: 'In a pasted list each line has its own number and price.',
      })
  })
  .meta({ id: 'NewEntries', examples: [{ text: '10 x Fen Wardens' }] })

/** The list alone, as its form sends it. */
export const pastedList = z.strictObject({ text: text.min(1), bracketed })

export const changedEntry = z
  .strictObject({
    ...entryFields,
    unitId: entryFields.unitId.nullable().describe('null: looked up anew by the words'),
    ...assembly,
  })
  .partial()
  .meta({ id: 'ChangedEntry' })

/** So many entries are asked for at a time. */
export const mostAsked = 100

/** Asks the group for units: of entries whose unit nobody knows, new ones are made, all in this setting and scale. */
export const asked = z
  .strictObject({
    entryIds: z.array(id).min(1, 'Which entries?').max(mostAsked, `At most ${mostAsked} at a time.`),
    setting: optionalLine(120).default(''),
    scaleMm: lengthMm(500, 28).default(28),
  })
  .meta({ id: 'AskedEntries' })
export const askedRequests = z.object({ items: z.array(requestSchema) })

const unitOfEntry = z.object({
  id,
  name: z.string(),
  setting: z.string(),
  scaleMm: z.number(),
  modelsPerUnit: z.int(),
})

/** `toBuy`, `toPrint` and `printed` add up to the models. */
const state = z.object({
  toBuy: z.int().describe('models whose file the owner does not have yet'),
  toPrint: z.int().describe('models not printed yet whose file the owner has, or that is free'),
  printed: z.int().describe('good and mended copies of the prints that count for the entry'),
  built: z.int().describe('of those that are printed'),
  painted: z.int().describe('of those that are built'),
})

export const entrySchema = z
  .object({
    id,
    words: z.string(),
    unit: unitOfEntry.extend({ base: shownBase.nullable() }).nullable().describe('null: not known which one is meant'),
    nearest: z.array(unitOfEntry).describe('units that may be meant, where there is none yet'),
    models: z.int(),
    retailPrice: shownMoney.nullable(),
    retailPer: entryFields.retailPer,
    retail: shownMoney.nullable().describe("price of its boxes in the group's currency, as far as known"),
    standIns: z.int().describe('files known to stand in for the unit'),
    heightMm: z.number().nullable().describe('of one of them whose height is known'),
    asked: z
      .object({ requestId: id, at: instant })
      .nullable()
      .describe('the newest open request for the unit, whoever asked'),
    shadow: shadow.nullable().describe('of one of its stand-ins, rather of one that a request was settled on'),
    state: state.nullable().describe('how far its models have come; null for all but the owner'),
  })
  .meta({ id: 'RosterEntry' })

const head = {
  id,
  name: z.string(),
  owner: z.object({ id, name: z.string() }),
  shared: z.boolean().describe('whether the other members may read and copy it'),
  models: z.int(),
  createdAt: instant,
  version: z.int(),
}

export const rosterSchema = z
  .object({
    ...head,
    entries: z.array(entrySchema),
    retail: shownMoney.describe('of the entries whose price is known'),
  })
  .meta({ id: 'Roster' })

export const rosterRow = z.object({ ...head, entries: z.int() }).meta({ id: 'RosterRow' })
export const rosterList = z.object({ ...pageQuery, memberId: id.optional() })
export const addedEntries = z.object({ items: z.array(entrySchema) })
export const byEntry = z.object({ id, entryId: id })

export type Bracketed = 'all' | 'each'
export type NewRoster = z.infer<typeof newRoster>
export type ChangedRoster = z.infer<typeof changedRoster>
export type NewEntries = z.infer<typeof newEntries>
export type ChangedEntry = z.infer<typeof changedEntry>
export type Asked = z.infer<typeof asked>
export type Entry = z.infer<typeof entrySchema>
export type Roster = z.infer<typeof rosterSchema>
export type RosterRow = z.infer<typeof rosterRow>
