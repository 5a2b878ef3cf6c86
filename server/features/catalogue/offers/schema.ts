import { z } from 'zod'
import { offerKinds, offerStates } from '../../../../db/rows/words.ts'
import {
  count,
  day,
  exampleId,
  id,
  ids,
  instant,
  link,
  money,
  optionalLine,
  shownMoney,
  version,
  withDefaults,
} from '../../../http/fields.ts'
import { refuseAll } from '../../../http/problem.ts'
import { wrongTerms } from './rules.ts'

export const offerKind = z.enum(offerKinds)
export const offerState = z.enum(offerStates)

const fields = {
  title: optionalLine(160),
  price: money.nullable().describe('of a membership: a month; left out or 0 where it is free'),
  minMonths: count(120).nullable().describe('for a membership, and only there: it runs for at least this many months'),
  url: link.nullable(),
  state: offerState,
  seenOn: day,
  fileIds: ids(500),
}

const offer = z.strictObject({
  kind: offerKind,
  ...withDefaults(fields, { title: '', price: null, minMonths: null, url: null, state: 'on sale', fileIds: [] }),
  seenOn: fields.seenOn.optional().describe('the day it was seen so; today if left out'),
})

const seen = {
  price: { amount: '9.00', currency: 'EUR' },
  url: 'https://shelf.example/lanterns',
  seenOn: '2026-03-14',
}

/** A way to get one file; a bundle or a membership may name the other files that it opens. */
export const newOffer = offer
  .superRefine((terms, context) => refuseAll(context, wrongTerms({ ...terms, files: terms.fileIds.length || 1 })))
  .meta({ id: 'NewOffer', examples: [{ kind: 'purchase', ...seen }] })

/** A way to get several files at once. */
export const newWideOffer = offer
  .extend({ kind: z.enum(['bundle', 'membership'], 'A bundle or a membership; others are added to their file.') })
  .superRefine((terms, context) => refuseAll(context, wrongTerms({ ...terms, files: terms.fileIds.length })))
  .meta({ id: 'NewWideOffer', examples: [{ kind: 'bundle', title: 'Winter shelf', ...seen, fileIds: [exampleId] }] })

export const changedOffer = z.strictObject(fields).partial().meta({ id: 'ChangedOffer' })

export const offerSchema = z
  .object({
    id,
    kind: offerKind,
    title: z.string(),
    price: shownMoney,
    minMonths: z.int().nullable(),
    url: z
      .string()
      .nullable()
      .describe('null also where it is withdrawn or the sculptor asked not to be linked; stewards see it'),
    state: offerState,
    seenOn: day,
    files: z.array(z.object({ id, title: z.string() })).describe('the files that whoever pays for it gets'),
    prices: z
      .array(z.object({ price: shownMoney, state: offerState, seenOn: day }))
      .describe('every price and state it had, oldest first; the last one is what counts now'),
    createdBy: z.object({ id, name: z.string() }),
    createdAt: instant,
    version,
  })
  .meta({ id: 'Offer' })

export type NewOffer = z.infer<typeof newOffer>
export type ChangedOffer = z.infer<typeof changedOffer>
export type Offer = z.infer<typeof offerSchema>
