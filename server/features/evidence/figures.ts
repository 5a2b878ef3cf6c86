import type { SupportKind } from '../../../db/tables.ts'
import type { Shape } from '../../scoring/beta.ts'
import type { Hyper, Total } from '../../scoring/priors.ts'
import { matchedSuccess, type SculptorGrid, sculptorGrid } from '../../scoring/sculptor-grid.ts'
import { isEvident } from '../../scoring/sculptors.ts'
import { copiesOf, successOnGrid } from '../../scoring/success.ts'
import type { LineOfSculptor } from './rules.ts'

/** A line's row of print_success. */
export interface StoredSuccess extends Total, ShownFigures {
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
}

/** What rounding leaves behind where evidence was taken back; a line without reports must say 0 copies. */
const rounding = 1e-9
const dustless = (value: number) => (Math.abs(value) < rounding ? 0 : value)
export const withoutDust = ({ x, y }: Total): Total => ({ x: dustless(x), y: dustless(y) })

type LineNode = LineOfSculptor & Total & { priorA: number; priorB: number } & Partial<ShownFigures>

/**
 * Lines of one sculptor with one kind of support as they are stored.
 *
 * @param lines with the figures shown so far, if they may stay where they are still right
 * @param totals of all of these lines of the sculptor's, the given ones included
 */
export function successRows(lines: readonly LineNode[], totals: readonly Total[], hyper: Hyper): StoredSuccess[] {
  const grid = sculptorGrid(totals.map(withoutDust).filter(isEvident), hyper)
  return lines.map(({ fileId, kind, priorA, priorB, ...line }) => {
    const total = withoutDust(line)
    const figures = stillRight(line, matchedSuccess(grid, total)) ?? freshFigures(grid, total)
    return { fileId, kind, ...total, priorA, priorB, ...figures, copies: copiesOf(total) }
  })
}

function freshFigures(grid: SculptorGrid, total: Total): ShownFigures {
  const { shape, mean, low, high } = successOnGrid(grid, total)
  return { shapeA: shape[0], shapeB: shape[1], mean, low, high }
}

/**
 * The figures shown so far where the law has hardly moved since: by less than 0.05 copies of 100 in the mean, and half a
 * percent in the evidence. A report nudges dozens of lines by thousandths of a copy, and the ends of an interval take
 * longer to find than all the rest of its transaction.
 */
function stillRight(
  { shapeA, shapeB, mean, low, high }: Partial<ShownFigures>,
  [a, b]: Shape,
): ShownFigures | undefined {
  if (shapeA === undefined || shapeB === undefined) return undefined
  if (mean === undefined || low === undefined || high === undefined) return undefined
  const hasMoved = Math.abs(a / (a + b) - mean) > 0.0005 || Math.abs((a + b) / (shapeA + shapeB) - 1) > 0.005
  return hasMoved ? undefined : { shapeA, shapeB, mean, low, high }
}
