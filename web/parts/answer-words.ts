import type { ComponentChildren } from 'preact'
import type { Base } from './base.ts'
import type { Breakdown } from './cost-bar.tsx'
import { failingWords } from './failing-words.ts'
import type { MoneyValue } from './money.tsx'
import type { ShownPicture } from './picture.tsx'
import type { PlateDrawingProps } from './plate-drawing.tsx'
import type { FigureSize } from './shadow.tsx'
import type { Basis, Interval, PrintSuccess } from './success-interval.tsx'

/** A ranked answer as the API gives it, with what a page adds to show it. */
export interface RankedAnswer {
  rank: number
  href: string
  title: string
  /** Left out where the sculptor asked not to be named. */
  sculptor: string | null
  /** How it is had: "bought singly", "a month of membership"; null where it can't be. */
  way: string | null
  obtainable: boolean
  /** In words, where it can't be had. */
  whyNotObtainable?: string | null
  /** Null where it can't be had: then it has no price. */
  costToTable: MoneyValue | null
  badLuckCost: MoneyValue | null
  breakdown: Breakdown
  /** Cost to table plus looks, a decimal in the same currency. */
  score: string | null
  currency: string
  /** Models asked for. */
  wanted: number
  /** Copies to print for a good one, on average. */
  attemptsPerGood: number
  /** What there is to print: whole copies, on whole plates. */
  printing: {
    copies: number
    plates: number | null
    hours: number | null
    resinMl: number
    fits: boolean
    expectedFailures: number
  }
  /** All in: file, machine and plate. */
  comesOut: Interval
  /** The machine that `comesOut` is of, in words; one in good order if left out. */
  on?: string
  /** The file alone. */
  printSuccess: PrintSuccess
  basis?: Basis
  doubt?: string
  votes: { yes: number; no: number }
  blockedBy: { kind: string; part?: string | null }[]
  covers: string[]
  missing: string[]
  remark?: string | null
  figure: FigureSize
  /** A member's picture of a print of it. */
  face: ShownPicture | null
}

/** How each term of the sum came about, in words. */
export type TermNotes = Partial<Record<keyof Breakdown, string>>

export interface AnswerProps {
  answer: RankedAnswer
  /** The dearest answer's score, so that all bars share one scale. */
  max: string
  /** The unit's base, drawn as a ring around each answer's own. */
  unitBase?: Base | null
  /** The one scale of all shadows in the race. */
  pxPerMm?: number
  /** Left out where this reader can't vote. */
  vote?: { action: string; mine: boolean | null; hidden?: Record<string, string> }
  /** How each term came about: "10 copies of 8.4 ml". */
  notes?: TermNotes
  /** The plates as they will be packed, where the foot print is known. */
  plate?: PlateDrawingProps
  isOpen?: boolean
  /** What else can be done: settle, report a print. */
  children?: ComponentChildren
}

/** So many answers are kept as they were written (`remembered`). */
export const answersKept = 300

/** It can be had, nothing stops the print, and it covers all that was asked for. */
export const isWhole = ({ obtainable, blockedBy, missing }: RankedAnswer) =>
  obtainable && blockedBy.length === 0 && missing.length === 0

/** What stands in the way, in few words: "left arm has no support: stops the print". */
export function hurdleWords({ obtainable, whyNotObtainable, blockedBy, missing }: RankedAnswer): string[] {
  return [
    ...(obtainable ? [] : [whyNotObtainable ?? 'Not to be had: every offer has been withdrawn.']),
    ...blockedBy.map(({ kind, part }) => `${part ? `${kind}, ${part}` : kind}: stops the print`),
    ...missing.map((wish) => `no ${wish.replace(/^(an?|the) /i, '')}`),
  ]
}

/** "On 1 plate, 126 ml of resin: 1.8 fail on average." */
export function printingWords({
  printing,
  comesOut,
  wanted,
}: Pick<RankedAnswer, 'printing' | 'comesOut' | 'wanted'>): string {
  const { plates, resinMl, expectedFailures, fits } = printing
  const where = plates === null ? '' : plates === 1 ? 'On 1 plate, ' : `On ${plates} plates, `
  const room = fits ? '' : ' It does not fit on this printer.'
  return `${where}${resinMl} ml of resin: ${failingWords(wanted, comesOut.mean, expectedFailures)}.${room}`
}

// Eight, eighty and eight hundred begin with a vowel, and eleven and eighteen, but not a hundred and ten.
const vowel = /^(8|1[18](?!\d))/

/** "bows, spears and banner". */
export const listed = (words: string[], joint = 'and') =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${joint} ${words.at(-1)}`

/** "on 25 mm rounds", "on an 80 mm round" */
export function onBases(base: Base, many: boolean): string {
  const size = base.lengthMm && base.shape !== 'round' ? `${base.lengthMm} × ${base.widthMm}` : `${base.widthMm}`
  const shape = base.shape === 'rectangle' ? 'rectangle' : base.shape
  return many ? `on ${size} mm ${shape}s` : `on ${vowel.test(size) ? 'an' : 'a'} ${size} mm ${shape}`
}
