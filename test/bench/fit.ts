// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { type Fit, fitEvidence } from '../../server/scoring/fit.ts'
import { type Network, siteSize } from '../../server/scoring/network.ts'
import { type Hyper, startingHyper } from '../../server/scoring/priors.ts'
import { settle } from '../../server/scoring/settle.ts'
import { sweep } from '../../server/scoring/sweep.ts'
import { collect } from './collect.ts'
import { bestMs, type Line, met, quantileOf, timed } from './measure.ts'
import { learningMs } from './one-more.ts'
import { StoredMessages, withMessages } from './stored.ts'
import { reportsOf, type Size } from './world.ts'

/** The fastest of so many fits is what counts: others were held up by something. */
const runs = 3
/** So many new reports in a hundred have come since the fit that a warm start goes on from; or none. */
const fresh = [0, 1]
const learnt = 5000

/**
 * The full fit of a million reports on 100,000 support sets and 30,000 printer periods (`world.ts` says how they are made
 * up), from nothing and from what the last fit left, until nothing moves by more than 1e-3; and learning from one more.
 *
 * A fit is from the collected reports to figures that can be asked for: laying out, sweeps, hyperparameters. Collecting,
 * most of which is finding three names a report among a hundred thousand, is what a caller does who reads a database.
 *
 * Times are processor time of all threads, garbage collection included. Memory is what the process has at most, above
 * what it had before the first report, with the reports at hand a thousand at a time and V8's young generation held to
 * 16 MB a half (the option is in package.json), which the making up of reports alone would blow up to 130 MB.
 *
 * @param args a smaller scale than 1, for a quick look
 */
export function benchFit([scale = '1']: string[]): boolean {
  const size: Size = { reports: 1e6 * Number(scale), sets: 1e5 * Number(scale), periods: 3e4 * Number(scale), seed: 1 }
  console.log(`${size.reports} reports, ${size.sets} support sets, ${size.periods} printer periods\n`)
  const { lines, hyper, messages } = coldAndOneMore(size)
  return [...lines, ...fresh.flatMap((more) => warm(size, more, hyper, messages))].map(met).every(Boolean)
}

/** What the last fit leaves behind is all that the warm one has, so that the collector has no more to look through. */
function coldAndOneMore(size: Size): { lines: Line[]; hyper: Hyper; messages: StoredMessages } {
  const { fit, lines } = cold(size)
  const messages = new StoredMessages(size, fit)
  return { lines: [...lines, ...oneMore(size, fit, messages)], hyper: fit.hyper, messages }
}

function cold(size: Size): { fit: Fit; lines: Line[] } {
  const before = process.memoryUsage.rss()
  const { evidence, ms: collecting } = collect(reportsOf(size))
  const { result: fit, ms: first } = timed(() => fitEvidence(evidence))
  const most = process.resourceUsage().maxRSS * 1024 - before
  const best = bestMs(runs - 1, () => fitEvidence(evidence))
  const network = evidence.network(startingHyper)
  settle(network, startingHyper, {})
  const sweeping = bestMs(10, () => sweep(network, 1))
  const floor = bestMs(10, () => pass(network))
  const lines: Line[] = [
    { what: 'collecting reports, one by one', value: collecting / 1000, unit: 's' },
    { what: 'cold fit', value: Math.min(first, best) / 1000, unit: 's', goal: 2.5 },
    { what: 'cold fit, the first in its process', value: first / 1000, unit: 's', goal: 2.5 },
    { what: 'collecting and cold fit', value: (collecting + Math.min(first, best)) / 1000, unit: 's' },
    { what: 'sweeps to 1e-3', value: fit.sweeps, unit: '' },
    { what: 'sites', value: network.sites.length / siteSize, unit: '' },
    { what: 'a sweep', value: sweeping, unit: 'ms' },
    { what: 'a plain pass over the same memory', value: floor, unit: 'ms' },
    { what: 'a sweep, in passes', value: sweeping / floor, unit: '' },
    { what: 'memory, collecting and cold fit', value: most / 1e6, unit: 'MB', goal: 300 },
  ]
  return { fit, lines }
}

/** Reads what a sweep reads, once from front to back: a line of the cache with a site's numbers, and its links. */
function pass({ sites, links }: Network): number {
  let sum = 0
  for (let site = 0; site < sites.length; site += siteSize) sum += sites[site]!
  for (let link = 0; link < links.length; link++) sum += links[link]!
  return sum
}

function warm(size: Size, more: number, hyper: Hyper, messages: StoredMessages): Line[] {
  const reports = (1 + more / 100) * size.reports
  const { evidence } = collect(withMessages(reportsOf({ ...size, reports }), messages))
  const sweeps = fitEvidence(evidence, { hyper }).sweeps
  const best = bestMs(runs, () => fitEvidence(evidence, { hyper }))
  return [
    { what: `warm fit, ${more} % of the reports new`, value: best / 1000, unit: 's', goal: 0.5 },
    { what: 'sweeps to 1e-3', value: sweeps, unit: '' },
  ]
}

function oneMore(size: Size, fit: Fit, messages: StoredMessages): Line[] {
  const ms = learningMs(size, learnt, fit, messages)
  const line = (share: number, goal?: number): Line => ({
    what: `one more report, ${100 * share} of 100 within`,
    value: quantileOf(ms, share),
    unit: 'ms',
    ...(goal && { goal }),
  })
  return [line(0.5), line(0.95), line(0.99, 1)]
}
