import type { RankedAnswer } from '../parts/answer-words.ts'
import type { Base } from '../parts/base.ts'
import type { MoneyValue } from '../parts/money.tsx'
import type { FigureSize } from '../parts/shadow.tsx'
import type { Basis, PrintSuccess } from '../parts/success-interval.tsx'
import type { FileRow } from './Files.tsx'

/** A file as a stand-in for the unit of the page. */
export interface StandIn
  extends Pick<FileRow, 'id' | 'title' | 'scaleMm' | 'base' | 'heightMm' | 'shadow' | 'options'>,
    Pick<RankedAnswer, 'sculptor' | 'currency' | 'costToTable' | 'badLuckCost' | 'breakdown' | 'comesOut' | 'on'>,
    Pick<RankedAnswer, 'votes' | 'obtainable' | 'face'> {
  /** To the table; what can't be had has no price, and its sums are null. */
  perModel: MoneyValue | null
  printSuccess: PrintSuccess & { basis: Basis }
  supportKind: string
  whyNot: string | null
  /** Open snags that stop the print. */
  stoppedBy: string[]
  snags: string[]
}

/** The unit as far as its stand-ins are drawn and judged by it. */
export interface StoodInFor {
  id: string
  name: string
  scaleMm: number
  base: Base | null
}

/** What a stand-in is drawn by; made for the unit's scale where nobody said for which. */
export const figureOf = (
  { shadow, heightMm, base, scaleMm }: Pick<StandIn, 'shadow' | 'heightMm' | 'base' | 'scaleMm'>,
  unit: { scaleMm: number },
): FigureSize => ({ shadow, heightMm, base, scaleMm: scaleMm ?? unit.scaleMm })

/** "Not to be had. Every offer is withdrawn.", "unsupported part, left arm: stops the print". */
export const hurdlesOf = ({ whyNot, stoppedBy }: Pick<StandIn, 'whyNot' | 'stoppedBy'>): string[] => [
  ...(whyNot === null ? [] : [`Not to be had. ${whyNot}`]),
  ...stoppedBy.map((snag) => `${snag}: stops the print`),
]

/** Whether it stands last: it can't be had, or a snag stops the print. */
export const isHindered = (one: Pick<StandIn, 'obtainable' | 'stoppedBy'>) =>
  !one.obtainable || one.stoppedBy.length > 0

/** "14 of 18 would field it". */
export const fieldWords = ({ yes, no }: StandIn['votes']) =>
  yes + no === 0 ? 'no votes yet' : `${yes} of ${yes + no} would field it`

/** "Tilda Vorn", or that the sculptor wants no name. */
export const byWords = (sculptor: string | null) => sculptor ?? 'the sculptor asked not to be named'
