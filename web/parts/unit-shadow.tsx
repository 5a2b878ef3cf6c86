import type { Base } from './base-size.tsx'
import type { FigureShadow } from './outline.ts'
import { Shadow, scaleFor } from './shadow.tsx'

/** A unit as a list draws it. */
export interface DrawnUnit {
  scaleMm: number
  base: Base | null
}

// Two lines of text: what a row of a list has beside its name.
const place = { heightPx: 44, widthPx: 52 }

/** Pixels a millimetre at which a unit's figure finds room in its line, whatever its neighbours are. */
export const unitScale = (unit: DrawnUnit & { shadow: FigureShadow | null }): number => scaleFor([unit], place)

/**
 * A unit in a list: the shadow of one that stands in for it, else a dashed box. From foot soldiers to giants, so every
 * drawing has a ruled centimetre.
 */
export function UnitShadow({ unit }: { unit: DrawnUnit & { shadow: FigureShadow | null } }) {
  return <Shadow figure={unit} stage={unit.shadow ? 'built' : 'wanted'} pxPerMm={unitScale(unit)} ruler />
}
