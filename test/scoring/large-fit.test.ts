import { describe, expect, test } from 'vitest'
import { mean, type Shape } from '../../server/scoring/beta.ts'
import { Evidence } from '../../server/scoring/evidence.ts'
import { fitReports } from '../../server/scoring/fit.ts'
import { nextFileTier, nextMachineTier } from '../../server/scoring/hyper.ts'
import { changePrior, type Network, periodNode, plateNode, siteSize } from '../../server/scoring/network.ts'
import { copyWeight, crowdings, platePriors, startingHyper, startingRho } from '../../server/scoring/priors.ts'
import { updateSculptors } from '../../server/scoring/sculptors.ts'
import { visitSite } from '../../server/scoring/sweep.ts'
import { reportsOf } from '../bench/world.ts'

/** 200 sculptors: their sites are collected in several blocks. */
const size = { reports: 12_000, sets: 1200, periods: 360, seed: 4 }
const reports = [...reportsOf(size)]
const fit = fitReports(reports)

/** The plain way: no first guess, half steps all the time, and until nothing moves by 1e-5. */
function patientFit() {
  const evidence = new Evidence()
  for (const report of reports) evidence.add(report)
  const network = evidence.network(startingHyper)
  updateSculptors(network, startingHyper)
  let hyper = startingHyper
  let moved = 1
  let sweeps = 0
  for (; moved > 1e-5; sweeps++) {
    moved = 0
    for (let site = 0; site < network.sites.length / siteSize; site++) {
      moved = Math.max(moved, visitSite(network, site, 0.5, 3))
    }
    hyper = nextMachineTier(network, nextFileTier(network, hyper))
    for (let period = 0; period < network.periods.length; period++) {
      changePrior(network, periodNode(network, period), hyper.am, hyper.bm)
    }
    updateSculptors(network, hyper)
  }
  return { network, hyper, sweeps }
}

function shapeOf({ shape }: Network, node: number): Shape {
  return [shape[2 * node] ?? 0, shape[2 * node + 1] ?? 0]
}

describe('a fit to 1e-3, against a plain and patient one to 1e-5', () => {
  const { network, hyper, sweeps } = patientFit()

  test('takes a fraction of the sweeps', () => {
    expect(fit.capped).toBe(false)
    expect(fit.sweeps).toBeLessThan(20)
    expect(sweeps).toBeGreaterThan(4 * fit.sweeps)
  })

  test('has every chance within 1e-4 of the other', () => {
    const off = (node: number, shape: Shape) => Math.abs(mean(shape) - mean(shapeOf(network, node)))
    const sets = network.sets.map((name, set) => {
      const { x, y, priorA, priorB } = fit.supportSets.get(name) ?? { x: 0, y: 0, priorA: 0, priorB: 0 }
      return off(set, [priorA + x, priorB + y])
    })
    const periods = network.periods.map((name, period) => {
      const { x, y } = fit.printerPeriods.get(name) ?? { x: 0, y: 0 }
      return off(periodNode(network, period), [fit.hyper.am + x, fit.hyper.bm + y])
    })
    const plates = crowdings.map((crowding) => {
      const [a, b] = platePriors[crowding]
      return off(plateNode(network, crowding), [a + fit.plates[crowding].x, b + fit.plates[crowding].y])
    })
    expect(sets).toHaveLength(new Set(reports.map(({ supportSet }) => supportSet)).size)
    expect(Math.max(...sets, ...periods, ...plates)).toBeLessThan(1e-4)
  })

  test('has the hyperparameters within 1 in 1,000', () => {
    const { mu0, k0, k, am, bm } = fit.hyper
    const ratios = [mu0 / hyper.mu0, k0 / hyper.k0, k / hyper.k, am / hyper.am, bm / hyper.bm]
    expect(Math.max(...ratios.map((ratio) => Math.abs(ratio - 1)))).toBeLessThan(1e-3)
  })
})

test('after a few new reports, starting from what the last fit left ends where a cold start does, and sooner', () => {
  const before = reports.slice(0, -120)
  const last = fitReports(before)
  const messages = new Map([...last.sites()].map(({ reportId, seen, message }) => [`${reportId} ${seen}`, message]))
  const known = reports.map((report) => {
    const failures = report.failures.map((one) => ({
      ...one,
      message: messages.get(`${report.id} ${one.seen}`) ?? null,
    }))
    return { ...report, failures }
  })
  const warm = fitReports(known, { hyper: last.hyper })
  expect(warm.sweeps).toBeLessThan(0.5 * fit.sweeps)
  for (const [name, { x, y, priorA, priorB }] of fit.supportSets) {
    const ours = warm.supportSets.get(name)
    expect(ours && mean([ours.priorA + ours.x, ours.priorB + ours.y])).toBeCloseTo(mean([priorA + x, priorB + y]), 3)
  }
})

test('sites keep their report, label and weight in whatever order they are laid out', () => {
  const weights = new Map([...fit.sites()].map((site) => [`${site.reportId} ${site.seen}`, site.weight]))
  let sites = 0
  for (const { id, good, failures } of reports) {
    const tried = failures.reduce((sum, { copies }) => sum + copies, good)
    for (const { seen, copies } of failures) {
      expect(weights.get(`${id} ${seen}`)).toBeCloseTo(copies * copyWeight(tried, startingRho), 12)
      sites++
    }
  }
  expect(weights.size).toBe(sites)
})
