import type { ColumnType } from 'kysely'

/** A calendar day, `YYYY-MM-DD`. */
export type Day = string
export type When = ColumnType<Date, Date | string | undefined, Date | string>
/** Written by the database alone. */
export type Computed<T> = ColumnType<T, never, never>

export type Role = 'member' | 'steward' | 'owner'

/*
 * What a column says in one of a few words: the words in their order, which schemas and forms have from here.
 */

export const baseShapes = ['round', 'oval', 'rectangle'] as const
export const supportKinds = ['as supplied', 'extra supports', 'own supports'] as const
export const offerKinds = ['purchase', 'bundle', 'membership', 'free'] as const
export const offerStates = ['on sale', 'members only', 'withdrawn'] as const
export const snagKinds = [
  ...(['unsupported part', 'too light supports', 'trapped-resin hollow', 'missing option'] as const),
  ...(['wrong scale', 'fragile detail', 'broken mesh', 'dead link'] as const),
] as const
export const severities = ['stops the print', 'costs time', 'only looks'] as const
export const snagStates = ['open', 'the sculptor knows', 'mended'] as const
export const upkeepKinds = ['film changed', 'plate levelled', 'vat filtered', 'screen replaced', 'other'] as const

export type SupportKind = (typeof supportKinds)[number]
export type OfferKind = (typeof offerKinds)[number]
export type OfferState = (typeof offerStates)[number]
export type SnagKind = (typeof snagKinds)[number]
export type Severity = (typeof severities)[number]
export type SnagState = (typeof snagStates)[number]
export type UpkeepKind = (typeof upkeepKinds)[number]
export type Crowding = 'half empty' | 'about full' | 'packed'
export type Seen =
  | 'supports snapped'
  | 'part had no support'
  | 'nothing stuck to the plate'
  | 'one side of the plate only'
  | 'stuck to the film'
  | 'layers pulled apart'
  | 'soft detail'
  | "don't know"

export type RetailPer = 'box' | 'entry'

export interface BaseColumns {
  baseShape: (typeof baseShapes)[number] | null
  baseWidthMm: number | null
  baseLengthMm: number | null
}
