import type { ColumnType } from 'kysely'

/** A calendar day, `YYYY-MM-DD`. */
export type Day = string
export type When = ColumnType<Date, Date | string | undefined, Date | string>
/** Written by the database alone. */
export type Computed<T> = ColumnType<T, never, never>

export type Role = 'member' | 'steward' | 'owner'
type BaseShape = 'round' | 'oval' | 'rectangle'
export type SupportKind = 'as supplied' | 'extra supports' | 'own supports'
export type OfferKind = 'purchase' | 'bundle' | 'membership' | 'free'
export type OfferState = 'on sale' | 'members only' | 'withdrawn'
export type SnagKind =
  | 'unsupported part'
  | 'too light supports'
  | 'trapped-resin hollow'
  | 'missing option'
  | 'wrong scale'
  | 'fragile detail'
  | 'broken mesh'
  | 'dead link'
export type Severity = 'stops the print' | 'costs time' | 'only looks'
export type SnagState = 'open' | 'the sculptor knows' | 'mended'
export type UpkeepKind = 'film changed' | 'plate levelled' | 'vat filtered' | 'screen replaced' | 'other'
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
  baseShape: BaseShape | null
  baseWidthMm: number | null
  baseLengthMm: number | null
}
