import { type Base, baseWords } from './base.ts'
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

/** The head of a page, or the room beside a form. */
const head = { heightPx: 110, widthPx: 150 }

/** Pixels a millimetre at which a unit is drawn in the head of a page. */
export const headScale = (unit: DrawnUnit & { shadow: FigureShadow | null }): number => scaleFor([unit], head)

/** What a page is about, as lists draw it: a dashed box while nothing that stands in for it was measured. */
export function UnitDrawing({ unit }: { unit: DrawnUnit & { shadow?: FigureShadow | null } }) {
  const figure = { ...unit, shadow: unit.shadow ?? null }
  const who = unit.shadow ? 'One that stands in for it' : 'A figure'
  return (
    <Shadow
      ruler
      figure={figure}
      stage={unit.shadow ? 'built' : 'wanted'}
      pxPerMm={headScale(figure)}
      label={`${who}${unit.base ? `, on its base: ${baseWords(unit.base)}` : ''}`}
    />
  )
}
