import { footOf } from '../../../planning/plate.ts'
import { type Base, usualBase } from '../../../planning/printing.ts'
import type { Measure } from '../../catalogue/measures/schema.ts'

/** A file as far as a plate of it can be worked out. */
export interface Sheet {
  /** what a copy covers */
  foot: Base
  widestLayerMm2: number | null
  /** nobody knows its base: a foot model's is taken */
  assumed: boolean
  heightMm: number | null
  resinMl: number | null
  /** of its open snags */
  minutes: number
}

interface Known {
  base: Base | null
  heightMm: number | null
  resinMl: number | null
  /** oldest first */
  revisions: readonly { id: string }[]
  measures: readonly Measure[]
  snags: readonly { state: string; minutes: number | null }[]
}

/** By the newest measured revision, rather with supports than without; else by the base, as the ranking has it. */
export function sheetOf({ base, heightMm, resinMl, revisions, measures, snags }: Known): Sheet {
  const newestFirst = revisions
    .toReversed()
    .flatMap(({ id }) =>
      measures
        .filter(({ revisionId }) => revisionId === id)
        .toSorted((one, other) => Number(one.supportSetId === null) - Number(other.supportSetId === null)),
    )
  const measure = newestFirst[0] ?? null
  const foot = footOf(measure, base)
  const open = snags.filter(({ state }) => state !== 'mended')
  return {
    foot: foot ?? usualBase,
    widestLayerMm2: measure?.widestLayerMm2 ?? null,
    assumed: foot === null,
    heightMm,
    resinMl,
    minutes: open.reduce((sum, snag) => sum + (snag.minutes ?? 0), 0),
  }
}
