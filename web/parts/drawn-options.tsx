import type { ComponentChildren } from 'preact'
import type { Base } from './base.ts'
import type { Option } from './choice-field.tsx'
import { type FigureSize, Shadow, scaleFor } from './shadow.tsx'

export interface Drawn {
  id: string
  name: string
  note?: ComponentChildren
  /** Null for what has no size. */
  figure: FigureSize | null
}

const room = { heightPx: 52, widthPx: 64 }

/** Things to choose from, each with its shadow, all at one scale. @param unitBase drawn as a dashed ring around their own */
export function drawnOptions(things: Drawn[], unitBase: Base | null = null): Option[] {
  const figures = things.flatMap(({ figure }) => figure ?? [])
  const pxPerMm = scaleFor(figures, room, unitBase)
  return things.map(({ id, name, note, figure }) => ({
    value: id,
    label: name,
    ...(note ? { note } : {}),
    ...(figure && { drawing: <Shadow figure={figure} unitBase={unitBase} pxPerMm={pxPerMm} /> }),
  }))
}
