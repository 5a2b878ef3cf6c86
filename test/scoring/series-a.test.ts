import { describe, expect, test } from 'vitest'
import { drawsOf, keptOf, summaryOf } from '../../server/scoring/draws.ts'
import { fitGroup } from '../../server/scoring/fit.ts'
import { crowdings } from '../../server/scoring/model.ts'
import { type Posterior, referenceJson, seriesLabels, seriesPlates } from './reference.ts'

/** JAGS 4.3.1 on series.jags, hyperparameters held, rho 0. */
const outside =
  referenceJson<Record<'supportSets' | 'printerPeriods' | 'plates', Record<string, Posterior>>>(
    'series-a.posterior.json',
  )

const kept = 4000
const fitted = fitGroup(seriesPlates, { hold: true, labels: seriesLabels, sweeps: 10_000, kept })
const { layout, group, lines, periods } = fitted

/** In posterior standard deviations (SCORING, section 8). */
function expectNear(draws: Float64Array, theirs: Posterior | undefined): void {
  const ours = summaryOf(draws)
  if (!theirs) throw new Error('the outside does not know it')
  expect(Math.abs(ours.mean - theirs.mean) / theirs.sd).toBeLessThan(0.06)
  expect(Math.abs(ours.low - theirs.low) / theirs.sd).toBeLessThan(0.15)
  expect(Math.abs(ours.high - theirs.high) / theirs.sd).toBeLessThan(0.15)
}

describe('40 reports against JAGS', () => {
  test.each(layout.lines.map((name, index) => [name, index] as const))('line %s', (name, index) => {
    expectNear(drawsOf(keptOf(lines, index, kept)), outside.supportSets[name])
  })

  test.each(layout.periods.map((name, index) => [name, index] as const))('upkeep period %s', (name, index) => {
    expectNear(drawsOf(keptOf(periods, index, kept)), outside.printerPeriods[name])
  })

  test.each(crowdings.map((crowding, index) => [crowding, index] as const))('%s', (crowding, index) => {
    expectNear(group.plates[crowding], outside.plates[['loose', 'normal', 'packed'][index] ?? ''])
  })

  test('nothing is missing on either side, and what was to be held was', () => {
    expect(Object.keys(outside.supportSets).toSorted()).toEqual([...layout.lines].toSorted())
    expect(Object.keys(outside.printerPeriods).toSorted()).toEqual([...layout.periods].toSorted())
    expect(new Set(group.mu0)).toEqual(new Set([0.85]))
    expect(new Set([...group.ties.flatMap((tie) => [...tie]), ...group.blind, ...group.hazard])).toEqual(new Set([0]))
  })
})
