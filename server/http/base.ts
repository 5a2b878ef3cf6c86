import type { BaseShape } from '../../db/tables.ts'

/** A base as the API and the pages speak of it. */
export interface Base {
  shape: BaseShape
  widthMm: number
  lengthMm?: number | null | undefined
}

/** A base in columns; none clears all three. */
export const baseColumns = (base: Base | null | undefined) => ({
  baseShape: base?.shape ?? null,
  baseWidthMm: base?.widthMm ?? null,
  baseLengthMm: base?.lengthMm ?? null,
})

/** The columns as a base; null where there is none. */
export function baseOf(row: ReturnType<typeof baseColumns>) {
  if (row.baseShape === null || row.baseWidthMm === null) return null
  return { shape: row.baseShape, widthMm: row.baseWidthMm, lengthMm: row.baseLengthMm }
}
