import betaln from '@stdlib/math-base-special-betaln'
import { describe, expect, test } from 'vitest'
import { mean, type Shape, type Summary, secondMoment, variance } from '../../server/scoring/beta.ts'
import { CaseCounts } from '../../server/scoring/case-counts.ts'
import type { Case } from '../../server/scoring/cases.ts'
import { parseCsv } from '../../server/scoring/command/csv.ts'
import { GroupFit, type GroupFitted } from '../../server/scoring/group-fit.ts'
import { successesOfGroup } from '../../server/scoring/group-successes.ts'
import { HyperSteps } from '../../server/scoring/hyper-steps.ts'
import { chancesOf, type Stage, seenLabels } from '../../server/scoring/labels.ts'
import { mixtureSummary } from '../../server/scoring/mixture.ts'
import { PassedEvents } from '../../server/scoring/passed-events.ts'
import { startingHyper } from '../../server/scoring/priors.ts'
import { Random } from '../../server/scoring/random.ts'
import { matchedShape } from '../../server/scoring/sculptor-grid.ts'
import { periodParts } from '../../server/scoring/success.ts'
import { TiedChain } from '../../server/scoring/tied-chain.ts'
import { TiedReports } from '../../server/scoring/tied-reports.ts'
import { expectedEvents, sizeOfTies } from '../../server/scoring/ties.ts'
import { referenceJson, referenceText, seriesLabels, seriesReports } from './reference.ts'

function fitted(reports = seriesReports): GroupFitted {
  const group = new GroupFit({ labels: seriesLabels })
  reports.forEach((report, index) => {
    group.add({ ...report, id: `r${index}`, memberId: `m${index}` })
  })
  return group.fit()
}

type TiedCase = {
  name: string
  rho: number
  reports: { good: number; failures: Record<string, number> }[]
} & Record<Stage, { mean: number; sd: number; q10: number; q90: number }>

/** The file's prior is Beta(8.5, 1.5): a sculptor whose mean is certain. */
const hyper = { mu0: 0.85, k0: 1e9, k: 10, am: 9, bm: 1 }
const priors = { file: [8.5, 1.5], machine: [9, 1], plate: [19, 1] } as const

/** The three laws that a long chain finds of a file, a machine and a normal plate. */
function sampled({ rho, reports }: TiedCase): Record<Stage, Summary> {
  const laidOut = new TiedReports()
  const places = { supportSet: 's', group: 'g', printerPeriod: 'm', crowding: 'normal' } as const
  for (const { good, failures } of reports) {
    const seen = Object.entries(failures).map(([label, copies]) => ({ seen: label, copies }))
    laidOut.add({ ...places, good, failures: seen }, chancesOf(seriesLabels))
  }
  const success = Float64Array.of(0.85, 0.9, 0.98, 0.95, 0.9)
  const { table } = chancesOf(seriesLabels)
  const chain = new TiedChain(laidOut, { size: sizeOfTies(rho), hyper, hold: true, success, table, seed: 2 })
  chain.run(1000, false)
  chain.run(40_000, true)
  const law = (cases: Case[], [am, bm]: Shape) => {
    const parts = periodParts({ x: 0, y: 0, cases }, { am, bm })
    return mixtureSummary(parts, matchedShape(parts))
  }
  return {
    file: law(chain.counts.casesOfEvidence(0, priors.file), priors.file),
    machine: law(chain.counts.casesOfLaw(1, priors.machine), priors.machine),
    plate: law(chain.counts.casesOfLaw(3, priors.plate), priors.plate),
  }
}

describe('tied copies against exact enumeration', () => {
  test.each(referenceJson<TiedCase[]>('tied-plates.json').map((one) => [one.name, one] as const))('%s', (_, one) => {
    const ours = sampled(one)
    for (const stage of ['file', 'machine', 'plate'] as const) {
      const { mean, sd, q10, q90 } = one[stage]
      expect(Math.abs(ours[stage].mean - mean) / sd).toBeLessThan(0.02)
      expect(Math.abs(ours[stage].low - q10) / sd).toBeLessThan(0.04)
      expect(Math.abs(ours[stage].high - q90) / sd).toBeLessThan(0.04)
    }
  })
})

describe('what a group is like, against a plain sum over a grid', () => {
  // Tarone (1982), 71 groups of rats: here as printer periods, a tumour as a failure; each rat an event of its own.
  const rats = parseCsv(referenceText('rat-tumours.csv')).slice(1)
  const [y, n] = [0, 1].map((column) => rats.map((row) => Number(row[column]))) as [number[], number[]]

  test('machine tier', () => {
    const reports = new TiedReports()
    for (const index of rats.keys()) {
      const place = { supportSet: 's', group: 'g', printerPeriod: `${index}`, crowding: 'normal' } as const
      reports.add({ ...place, good: 0, failures: [] }, chancesOf(seenLabels))
    }
    const totals = { x: Float64Array.of(0, ...n.map((all, at) => all - (y[at] ?? 0))), y: Float64Array.of(0, ...y) }
    const steps = new HyperSteps({ hyper: startingHyper, hold: false }, totals, reports, new Random(3))
    for (let sweep = 0; sweep < 12_000; sweep++) steps.step(sweep >= 2000)
    const [first, second] = gridMoments(totals)
    const { am, bm } = steps.mean
    expect(mean([am, bm])).toBeCloseTo(first, 2.5)
    expect(Math.sqrt(variance([am, bm]))).toBeCloseTo(Math.sqrt(second - first * first), 2.5)
  })

  /** Moments of a new period's success, the priors as in hyper-steps.ts. */
  function gridMoments(totals: { x: Float64Array; y: Float64Array }): [number, number] {
    const all: { log: number; shape: Shape }[] = []
    for (let logit = -1; logit <= 4; logit += 0.05) {
      for (let logSize = 0; logSize <= 6; logSize += 0.05) {
        const shape = [Math.exp(logSize) / (1 + Math.exp(-logit)), Math.exp(logSize) / (1 + Math.exp(logit))] as const
        let log = -0.5 * (logit - Math.log(9)) ** 2 - 0.5 * (logSize - Math.log(10)) ** 2
        totals.x.forEach((x, at) => {
          if (at > 0) log += betaln(shape[0] + x, shape[1] + (totals.y[at] ?? 0)) - betaln(...shape)
        })
        all.push({ log, shape })
      }
    }
    const most = Math.max(...all.map(({ log }) => log))
    const weights = all.map(({ log }) => Math.exp(log - most))
    const sum = weights.reduce((one, other) => one + other, 0)
    const average = (of: (shape: Shape) => number) =>
      all.reduce((total, { shape }, at) => total + ((weights[at] ?? 0) / sum) * of(shape), 0)
    return [average(mean), average(secondMoment)]
  }
})

test('the same reports give the same', () => {
  expect(successesOfGroup(fitted())).toEqual(successesOfGroup(fitted()))
})

describe('events of passing copies', () => {
  const reports = new TiedReports()
  const report = {
    supportSet: 'hound',
    group: 'Sedge',
    printerPeriod: 'attic',
    crowding: 'normal',
    failures: [],
  } as const
  for (const good of [1, 7, 200]) reports.add({ ...report, good }, chancesOf(seenLabels))
  const nodes = reports.nodes()
  const chances = Float64Array.of(0.9, 0.1, 0.8, 0.2, 0.95, 0.05, 0.95, 0.05, 0.95, 0.05)

  test.each([0, 1, 2, 7, 64, 65, 200])('%i copies: as many as ties.ts expects', (copies) => {
    const events = new PassedEvents(reports, nodes, 9)
    events.follow(chances)
    expect(events.at(1, copies)).toBeCloseTo(expectedEvents(copies, 0.8, 9), 9)
  })

  test('each for itself where copies are not tied', () => {
    const events = new PassedEvents(reports, nodes, Number.POSITIVE_INFINITY)
    events.follow(chances)
    expect([1, 7, 64].map((copies) => events.at(0, copies))).toEqual([1, 7, 64])
  })
})

test('cases come to what was counted, with the prior that they were made for', () => {
  const counts = new CaseCounts(1)
  const prior = [9, 1] as const
  for (const [own, times] of [
    [0, 6],
    [1, 3],
    [2, 1],
  ] as const) {
    for (let sweep = 0; sweep < times; sweep++) counts.addEvidence(0, own, 10 - own, own)
  }
  const cases = counts.casesOfEvidence(0, prior)
  expect(cases.map(({ x, y }) => [x, y])).toEqual([
    [10, 0],
    [9, 1],
    [8, 2],
  ])
  // B(9 + x, 1 + y) / B(9, 1) by hand: 9/19; 9/(19 x 18); 2 x 9/(19 x 18 x 17)
  const marginals = [9 / 19, 9 / (19 * 18), (2 * 9) / (19 * 18 * 17)]
  const shares = cases.map(({ log }, index) => Math.exp(log) * (marginals[index] ?? 0))
  const sum = shares.reduce((one, other) => one + other, 0)
  expect(shares.map((share) => share / sum)).toEqual([0.6, 0.3, 0.1].map((share) => expect.closeTo(share, 9)))
})
