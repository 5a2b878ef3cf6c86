// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { sumOf } from './draws.ts'
import { priors, type Shape } from './model.ts'

/** Events by plate: that passed the machine, and that failed there. */
type PlateEvents = { passed: ArrayLike<number>; failed: ArrayLike<number> }

/** Products are kept within 1 / huge and huge, since hundreds of copies would take them out of the range of numbers. */
const huge = 1e100

/**
 * How likely each plate is to be the first one of a worn machine, success before (Beta(am, bm)) and after (Beta(4, 4))
 * integrated out. Goes from "not worn yet" back through the plates, each moving from one side to the other.
 *
 * @param from the period's first plate
 * @param to after its last one
 * @param inOrder am, bm
 * @param hazard h, chance of each plate that the wear begins with it, 0-1; 0 never
 * @param into weights by number of plates before the wear, 0 ... n, which add up to 1
 */
export function changePoint(
  { passed, failed }: PlateEvents,
  from: number,
  to: number,
  [am, bm]: Shape,
  hazard: number,
  into: Float64Array,
): void {
  const plates = to - from
  if (!(hazard > 0)) {
    into.fill(0, 0, plates)
    into[plates] = 1
    return
  }
  let x = sumOf(passed, from, to)
  let y = sumOf(failed, from, to)
  const [wornA, wornB] = priors.worn
  let [wornX, wornY] = [0, 0]
  // The weight is `gain`, and smaller by `huge` as often as `below` says: then next to the largest one it is nothing.
  let [gain, below] = [hazard / (1 - hazard), 0]
  into[plates] = 1
  for (let change = plates - 1; change >= 0; change--) {
    const more = passed[from + change]!
    for (let event = 0; event < more + failed[from + change]!; event++) {
      const passes = event < more
      if (passes) x--
      else y--
      const all = wornA + wornB + wornX + wornY
      const worn = passes ? wornA + wornX++ : wornB + wornY++
      gain *= (worn * (am + bm + x + y)) / (all * (passes ? am + x : bm + y))
      if (gain < 1 / huge) {
        gain *= huge
        below++
      } else if (gain > huge) {
        gain /= huge
        if (below > 0) below--
        else for (let later = change + 1; later <= plates; later++) into[later]! /= huge
      }
    }
    into[change] = below > 0 ? 0 : gain
    gain /= 1 - hazard
  }
  const sum = sumOf(into, 0, plates + 1)
  for (let change = 0; change <= plates; change++) into[change]! /= sum
}
