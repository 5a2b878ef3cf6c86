import type { SupportKind } from '../../../db/tables.ts'
import type { Shape } from '../../scoring/beta.ts'
import type { Told } from '../../scoring/cases.ts'
import type { Hyper, Total } from '../../scoring/priors.ts'
import { type SculptorGrid, sculptorGrid } from '../../scoring/sculptor-grid.ts'
import { isEvident } from '../../scoring/sculptors.ts'
import { copiesOf, successOnGrid } from '../../scoring/success.ts'
import type { LineOfSculptor } from './rules.ts'

/** A line's row of print_success. */
export interface StoredSuccess extends Told, ShownFigures {
  fileId: string
  kind: SupportKind
  priorA: number
  priorB: number
  copies: number
}

/** What is shown of a line: the nearest Beta, and mean and interval of the law itself. */
export interface ShownFigures {
  shapeA: number
  shapeB: number
  mean: number
  low: number
  high: number
  /** its plain Beta, prior and evidence, when these figures were worked out */
  plainA: number
  plainB: number
}

/** What rounding leaves behind where evidence was taken back; a line without reports must say 0 copies. */
const rounding = 1e-9
const dustless = (value: number) => (Math.abs(value) < rounding ? 0 : value)
export const withoutDust = ({ x, y }: Total): Total => ({ x: dustless(x), y: dustless(y) })
const toldWithoutDust = ({ cases, ...total }: Told): Told => ({ ...withoutDust(total), cases })

export type LineNode = LineOfSculptor & Told & { priorA: number; priorB: number }

/**
 * Lines of one sculptor with one kind of support as they are stored, with their figures worked out.
 *
 * @param totals of all of these lines of the sculptor's, the given ones included
 */
export function successRows(lines: readonly LineNode[], totals: readonly Told[], hyper: Hyper): StoredSuccess[] {
  const grid = sculptorGrid(totals.map(toldWithoutDust).filter(isEvident), hyper)
  return lines.map((line) => withFigures(line, freshFigures(grid, line)))
}

/** A line as it is stored. */
export function withFigures(line: LineNode, figures: ShownFigures): StoredSuccess {
  const { fileId, kind, priorA, priorB } = line
  const { shapeA, shapeB, mean, low, high, plainA, plainB } = figures
  const total = withoutDust(line)
  return {
    ...{ fileId, kind, ...total, cases: line.cases, priorA, priorB, copies: copiesOf(total) },
    ...{ shapeA, shapeB, mean, low, high, plainA, plainB },
  }
}

function freshFigures(grid: SculptorGrid, line: LineNode): ShownFigures {
  const { shape, mean, low, high } = successOnGrid(grid, toldWithoutDust(line))
  const [plainA, plainB] = plainShape(line)
  return { shapeA: shape[0], shapeB: shape[1], mean, low, high, plainA, plainB }
}

/** The line's plain Beta. */
function plainShape({ x, y, priorA, priorB }: LineNode): Shape {
  return [priorA + x, priorB + y]
}

/**
 * Whether a line has hardly moved since its figures were worked out: by less than a fifth of a copy of 100 in the mean,
 * and 2 percent in the evidence. A report nudges dozens of lines by thousandths of a copy, and the ends of an interval
 * take longer to find than all the rest of its transaction.
 */
export function isStillRight(line: LineNode, { plainA, plainB }: Pick<ShownFigures, 'plainA' | 'plainB'>): boolean {
  if (plainA + plainB <= 0) return false
  const [a, b] = plainShape(line)
  const hasMoved =
    Math.abs(a / (a + b) - plainA / (plainA + plainB)) > 0.002 || Math.abs((a + b) / (plainA + plainB) - 1) > 0.02
  return !hasMoved
}
