import { bestShape } from './best-shape.ts'
import type { Told } from './cases.ts'
import type { Hyper } from './priors.ts'
import { periodParts } from './success.ts'

const mostRounds = 50
const settled = 1e-3
const mostPeriods = 20_000

/**
 * The machine tier once more, from the cases of the printer periods: taken for half a failure each, periods look more
 * alike than they are, and printers that never fail are not believed in. Expectation and maximisation by turns.
 *
 * @param periods with evidence; evenly thinned to 20,000
 * @see Dempster, Laird & Rubin (1977), Maximum likelihood from incomplete data via the EM algorithm, JRSS B 39, 1-38
 */
export function machineTier(periods: readonly Told[], { am, bm }: Pick<Hyper, 'am' | 'bm'>): Pick<Hyper, 'am' | 'bm'> {
  const every = Math.ceil(periods.length / mostPeriods)
  const thinned = periods.filter((_, index) => index % every === 0)
  let at = { am, bm }
  for (let round = 0; round < mostRounds; round++) {
    const before = at
    const parts = thinned.flatMap((period) => periodParts(period, before))
    const totals = parts.map(({ weight, shape: [a, b] }) => ({ x: a - before.am, y: b - before.bm, weight }))
    const [nextAm, nextBm] = bestShape(totals, [before.am, before.bm])
    at = { am: nextAm, bm: nextBm }
    if (Math.abs(Math.log(at.am / before.am)) + Math.abs(Math.log(at.bm / before.bm)) < settled) break
  }
  return at
}
