import { type Foot, footOf, type MeasuredFoot, usualFoot } from '../../../planning/plate.ts'
import type { Base } from '../../../planning/printing.ts'

/** A file as far as a plate of it can be worked out. */
export interface Sheet {
  /** what a copy covers */
  foot: Foot
  /** nobody knows its base: a foot model's is taken */
  assumed: boolean
  heightMm: number | null
  resinMl: number | null
  /** of its open snags */
  minutes: number
}

interface Known {
  base: Base | null
  footPrint: MeasuredFoot | null
  heightMm: number | null
  resinMl: number | null
  snags: readonly { state: string; minutes: number | null }[]
}

/** By what was measured of it, else by the base, as the ranking has it. */
export function sheetOf({ base, footPrint, heightMm, resinMl, snags }: Known): Sheet {
  const foot = footOf(footPrint, base)
  const open = snags.filter(({ state }) => state !== 'mended')
  return {
    foot: foot ?? usualFoot,
    assumed: foot === null,
    heightMm,
    resinMl,
    minutes: open.reduce((sum, snag) => sum + (snag.minutes ?? 0), 0),
  }
}
