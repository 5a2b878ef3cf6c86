import { describe, expect, test } from 'vitest'
import { type Stage, stages } from '../../server/scoring/labels.ts'
import type { Plate } from '../../server/scoring/plates.ts'
import { sampleHeld } from './held-chain.ts'
import { referenceJson, seriesLabels } from './reference.ts'

type Exact = Record<Stage, { mean: number; sd: number; q10: number; q90: number }>

const labels = Object.keys(seriesLabels)
const sweeps = 40_000

const plateOf = (id: number, good: number, failures: { seen: string; copies: number }[]): Plate => ({
  id: `plate ${id}`,
  period: 'm',
  crowding: 'about full',
  day: id,
  prints: [{ line: 's', sculptor: 'g', good, failures }],
})

/** In posterior standard deviations. */
const limits = { mean: 0.05, end: 0.06 }

function expectNear(ours: ReturnType<typeof sampleHeld>, exact: Exact): void {
  for (const stage of stages) {
    const [mine, theirs] = [ours[stage], exact[stage]]
    expect(Math.abs(mine.mean - theirs.mean) / theirs.sd).toBeLessThan(limits.mean)
    expect(Math.abs(mine.q10 - theirs.q10) / theirs.sd).toBeLessThan(limits.end)
    expect(Math.abs(mine.q90 - theirs.q90) / theirs.sd).toBeLessThan(limits.end)
  }
}

describe('one line, one machine, one plate, each copy for itself: exact enumeration', () => {
  const cases = referenceJson<({ name: string; good: number; bad: number[] } & Exact)[]>('one-set-one-printer.json')

  test.each(cases.map((one) => [one.name, one] as const))('%s', (_, one) => {
    const failures = one.bad.map((copies, label) => ({ seen: labels[label] ?? '', copies }))
    expectNear(sampleHeld([plateOf(0, one.good, failures)], 0, sweeps), one)
  })

  test('all cases of the file are there', () => {
    expect(cases).toHaveLength(13)
  })
})

describe('copies that hang together: exact enumeration', () => {
  type Tied = { name: string; rho: number; reports: { good: number; failures: Record<string, number> }[] } & Exact
  const cases = referenceJson<Tied[]>('tied-plates.json')

  test.each(cases.map((one) => [one.name, one] as const))('%s', (_, one) => {
    const plates = one.reports.map(({ good, failures }, id) => {
      return plateOf(
        id,
        good,
        Object.entries(failures).map(([seen, copies]) => ({ seen, copies })),
      )
    })
    expectNear(sampleHeld(plates, one.rho, sweeps), one)
  })

  test('all cases of the file are there', () => {
    expect(cases).toHaveLength(7)
  })
})
