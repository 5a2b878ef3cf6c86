import { type Fit, fitEvidence } from '../../server/scoring/fit.ts'
import type { Network } from '../../server/scoring/network.ts'
import { startingHyper } from '../../server/scoring/priors.ts'
import { settle } from '../../server/scoring/settle.ts'
import { sweep } from '../../server/scoring/sweep.ts'
import { collect } from './collect.ts'
import { bestMs, type Line, met, timed } from './measure.ts'
import { StoredMessages, withMessages } from './stored.ts'
import { reportsOf, type Size } from './world.ts'

const runs = 3
/** So many new reports in a hundred have come since the fit that a warm start goes on from. */
const fresh = 1

/**
 * The full fit of a million reports on 100,000 support sets and 30,000 printer periods (`world.ts` says how they are made
 * up), from nothing and from what the last fit left, until nothing moves by more than 1e-3; and learning from one more.
 *
 * Times are processor time of all threads, garbage collection included. Memory is what the process has above what it had
 * before the first report; of the reports only a thousand at a time are there.
 *
 * @param scale 1 for the whole million
 */
export function benchFit(scale: number): boolean {
  const size: Size = { reports: 1e6 * scale, sets: 1e5 * scale, periods: 3e4 * scale, seed: 1 }
  console.log(`${size.reports} reports, ${size.sets} support sets, ${size.periods} printer periods`)
  const { fit, lines } = cold(size)
  const all = [...lines, ...warm(size, fit)]
  return all.map(met).every(Boolean)
}

function cold(size: Size): { fit: Fit; lines: Line[] } {
  const before = process.memoryUsage.rss()
  const { evidence, ms: collecting } = collect(reportsOf(size))
  const { result: fit, ms: first } = timed(() => fitEvidence(evidence))
  const most = process.resourceUsage().maxRSS * 1024 - before
  const best = bestMs(runs - 1, () => fitEvidence(evidence))
  const network = evidence.network(startingHyper)
  settle(network, startingHyper, {})
  const sweeping = bestMs(5, () => sweep(network, 1))
  const floor = bestMs(5, () => pass(network))
  const lines: Line[] = [
    { what: 'collecting reports, one by one', value: collecting / 1000, unit: 's' },
    { what: 'cold fit', value: Math.min(first, best) / 1000, unit: 's', goal: 2.5 },
    { what: 'cold fit, the first in its process', value: first / 1000, unit: 's', goal: 2.5 },
    { what: 'sweeps to 1e-3', value: fit.sweeps, unit: '' },
    { what: 'sites', value: network.sites.length / 8, unit: '' },
    { what: 'a sweep', value: sweeping, unit: 'ms' },
    { what: 'a plain pass over the same memory', value: floor, unit: 'ms' },
    { what: 'a sweep, in passes', value: sweeping / floor, unit: '' },
    { what: 'memory, collecting and cold fit', value: most / 1e6, unit: 'MB', goal: 300 },
  ]
  return { fit, lines }
}

/** What the sweeps work on, read once from front to back. */
function pass({ sites, links, shape }: Network): number {
  let sum = 0
  for (const numbers of [sites, links, shape]) for (let at = 0; at < numbers.length; at++) sum += numbers[at] ?? 0
  return sum
}

function warm(size: Size, fit: Fit): Line[] {
  const messages = new StoredMessages(size, fit)
  const reports = (1 + fresh / 100) * size.reports
  const { evidence } = collect(withMessages(reportsOf({ ...size, reports }), messages))
  let sweeps = 0
  const best = bestMs(runs, () => {
    sweeps = fitEvidence(evidence, { hyper: fit.hyper }).sweeps
  })
  return [
    { what: `warm fit, ${fresh} % of the reports new`, value: best / 1000, unit: 's', goal: 0.5 },
    { what: 'sweeps to 1e-3', value: sweeps, unit: '' },
  ]
}
