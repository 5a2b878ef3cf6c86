import { type Base, baseWords } from './base.ts'
import type { FigureShadow } from './outline.ts'
import { type FigureSize, Shadow, scaleFor } from './shadow.tsx'

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

/** A file that stands in for a unit, as far as it is drawn for it. */
export interface DrawnStandIn {
  title: string
  figure: FigureSize
}

interface Props {
  unit: DrawnUnit & { shadow?: FigureShadow | null }
  /** The file that is drawn for it, on its own base; without one the unit's shadow, as lists have it. */
  standIn?: DrawnStandIn | undefined
}

/** What a page is about, drawn by what the group has for it: a dashed box while nothing that stands in for it was measured. */
export function UnitDrawing({ unit, standIn }: Props) {
  const figure = standIn?.figure ?? { shadow: unit.shadow ?? null, base: unit.base, scaleMm: unit.scaleMm }
  const unitBase = standIn ? unit.base : null
  const who = standIn?.title ?? (figure.shadow ? 'One that stands in for it' : 'A figure')
  const on =
    unit.base && `, ${standIn ? 'inside the unit’s base, a dashed ring' : 'on its base'}: ${baseWords(unit.base)}`
  return (
    <Shadow
      ruler
      figure={figure}
      unitBase={unitBase}
      stage={figure.shadow ? 'built' : 'wanted'}
      pxPerMm={scaleFor([figure], head, unitBase)}
      label={`${who}${on ?? ''}`}
    />
  )
}

/** Of those that answer, the first that somebody has measured. */
export const firstMeasured = <One extends { figure: FigureSize }>(answers: One[]): One | undefined =>
  answers.find(({ figure }) => figure.shadow !== null)
