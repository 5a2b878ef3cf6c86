import type { z } from 'zod'
import type { base } from './fields.ts'

/** A base as the API and the pages speak of it. */
export type Base = z.infer<typeof base>

/** A base in columns; none clears all three. */
export const baseColumns = (told: Base | null | undefined) => ({
  baseShape: told?.shape ?? null,
  baseWidthMm: told?.widthMm ?? null,
  baseLengthMm: told?.lengthMm ?? null,
})

/** A printer with its plate as the API and the pages speak of it: width and depth. */
export function withPlateMm<Row extends { plateWidthMm: number; plateDepthMm: number }>(row: Row) {
  const { plateWidthMm, plateDepthMm, ...rest } = row
  return { ...rest, plateMm: [plateWidthMm, plateDepthMm] as [number, number] }
}

/** The columns as a base; null where there is none. */
export function baseOf(row: ReturnType<typeof baseColumns>) {
  if (row.baseShape === null || row.baseWidthMm === null) return null
  return { shape: row.baseShape, widthMm: row.baseWidthMm, lengthMm: row.baseLengthMm }
}
