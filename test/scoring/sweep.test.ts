import fc from 'fast-check'
import { expect, test } from 'vitest'
import { mean, type Shape, secondMoment } from '../../server/scoring/beta.ts'
import { Evidence } from '../../server/scoring/evidence.ts'
import { changePrior, messageOf, totalOf } from '../../server/scoring/network.ts'
import { startingHyper } from '../../server/scoring/priors.ts'
import { stepOfSweep, visitSite } from '../../server/scoring/sweep.ts'

const chance = fc.double({ min: 0.01, max: 1, noNaN: true })

/** One copy that failed, on one file, printer and plate with the given chances to show its label. */
function oneFailure(row: readonly [number, number, number]) {
  const evidence = new Evidence({ rho: 0, labels: { odd: row } })
  const failures = [{ seen: 'odd', copies: 1 }]
  evidence.add({ supportSet: 's', group: 'g', printerPeriod: 'm', crowding: 'packed', good: 0, failures })
  const network = evidence.network(startingHyper)
  const priors = [0, 1, 4].map((node): Shape => [network.prior[2 * node] ?? 0, network.prior[2 * node + 1] ?? 0])
  visitSite(network, 0, 1, 3)
  return { network, priors }
}

/** Moments of p_stage x (1 - the chance that the copy comes out good and shows the label), integrated term by term. */
function exactMoments(row: readonly [number, number, number], priors: readonly Shape[], stage: number) {
  let [norm, first, second] = [0, 0, 0]
  for (let failed = 1; failed < 8; failed++) {
    const members = [0, 1, 2].filter((j) => failed & (1 << j))
    const shown = members.reduce((sum, j) => sum + (row[j] ?? 0), 0) / members.length
    const others = [0, 1, 2].filter((j) => j !== stage)
    const weight = others.reduce((product, j) => {
      const p = mean(priors[j] ?? [1, 1])
      return product * (members.includes(j) ? 1 - p : p)
    }, shown)
    const [a, b] = priors[stage] ?? [1, 1]
    const fails = members.includes(stage)
    const shape: Shape = fails ? [a, b + 1] : [a + 1, b]
    const own = (fails ? b : a) / (a + b)
    norm += weight * own
    first += weight * own * mean(shape)
    second += weight * own * secondMoment(shape)
  }
  return { first: first / norm, second: second / norm }
}

test('one visit leaves each stage with the mean and second moment of the exact posterior of one failed copy', () => {
  fc.assert(
    fc.property(chance, chance, chance, (...row) => {
      const { network, priors } = oneFailure(row)
      for (const [stage, node] of [0, 1, 4].entries()) {
        const exact = exactMoments(row, priors, stage)
        const [priorA, priorB] = priors[stage] ?? [1, 1]
        const { x, y } = totalOf(network, node)
        expect(mean([priorA + x, priorB + y])).toBeCloseTo(exact.first, 10)
        expect(secondMoment([priorA + x, priorB + y])).toBeCloseTo(exact.second, 10)
      }
    }),
  )
})

test('a copy that only one stage can have failed counts as one failure there and one success elsewhere', () => {
  const { network } = oneFailure([0, 1e-300, 0])
  const [fileX, fileY, machineX, machineY] = messageOf(network, 0)
  expect(machineX).toBeCloseTo(0, 12)
  expect(machineY).toBeCloseTo(1, 12)
  expect(fileX + fileY).toBeLessThanOrEqual(1)
})

test.each([1, 0.5, 0.2, 0.01])(
  'a site of weight %d for its file comes to rest at once when it is alone',
  (fileWeight) => {
    const evidence = new Evidence()
    const failures = [{ seen: 'part had no support', copies: 1 }]
    evidence.add({ supportSet: 's', group: 'g', printerPeriod: 'm', crowding: 'loose', good: 0, failures, fileWeight })
    const network = evidence.network(startingHyper)
    expect(visitSite(network, 0, 1, 3)).toBeGreaterThan(0.5)
    expect(visitSite(network, 0, 1, 3)).toBeLessThan(1e-12)
  },
)

test('a node that a new prior has left below nothing does not hold its sites', () => {
  const { network } = oneFailure([0.2, 0.3, 0.1])
  const machine = 1
  changePrior(network, machine, startingHyper.am - 20, startingHyper.bm)
  expect(network.shape[2 * machine]).toBeLessThan(-10)
  const before = messageOf(network, 0)
  expect(visitSite(network, 0, 1, 3)).toBeGreaterThan(0.01)
  expect(messageOf(network, 0)).not.toEqual(before)
})

test('sweeps take full steps first and damped ones later', () => {
  expect([1, 20, 21, 60, 61, 500].map(stepOfSweep)).toEqual([1, 1, 0.5, 0.5, 0.2, 0.2])
})
