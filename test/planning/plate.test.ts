import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { copiesOnPlate, type Foot, filledPlate, footOf, type Placed, usualFoot } from '../../server/planning/plate.ts'
import {
  type Base,
  type Crowding,
  layersOf,
  type Machine,
  plateHours,
  usualMachine,
} from '../../server/planning/printing.ts'

const machine: Machine = {
  plateWidthMm: 143,
  plateDepthMm: 89,
  buildHeightMm: 165,
  layerUm: 30,
  exposureS: 2.5,
  bottomLayers: 5,
  bottomExposureS: 30,
  cycleOverheadS: 7,
}
const round = (widthMm: number): Base => ({ shape: 'round', widthMm })
const oval = (widthMm: number, lengthMm: number): Base => ({ shape: 'oval', widthMm, lengthMm })
const box = (widthMm: number, lengthMm: number): Base => ({ shape: 'rectangle', widthMm, lengthMm })
const foot = (base: Base, widestLayerMm2: number | null = null): Foot => ({ base, widestLayerMm2 })
const feet = (count: number, base: Base, widestLayerMm2: number | null = null): Foot[] =>
  Array.from({ length: count }, () => foot(base, widestLayerMm2))
const crowdingOf = (on: readonly Foot[]) => filledPlate(on, machine)?.crowding

/** The least room between any two, in mm; a rounding error less is none. */
function leastBetween(places: readonly Placed[]): number {
  const gaps = places.flatMap((one, index) =>
    places.slice(index + 1).map((other) => {
      const beside = Math.max(other.xMm - one.xMm - one.widthMm, one.xMm - other.xMm - other.widthMm)
      const behind = Math.max(other.yMm - one.yMm - one.depthMm, one.yMm - other.yMm - other.depthMm)
      return Math.max(beside, behind)
    }),
  )
  return Math.min(...gaps, Number.POSITIVE_INFINITY) + 1e-9
}

const isInside = ({ xMm, yMm, widthMm, depthMm }: Placed, plate: Pick<Machine, 'plateWidthMm' | 'plateDepthMm'>) =>
  xMm >= 0 && yMm >= 0 && xMm + widthMm <= plate.plateWidthMm + 1e-9 && yMm + depthMm <= plate.plateDepthMm + 1e-9

describe('where copies stand', () => {
  test('of several files together: on the plate, 3 mm between any two', () => {
    const { places } = filledPlate([...feet(4, round(25)), foot(oval(35, 60)), foot(round(40))], machine) ?? {
      places: [],
    }
    expect(places).toHaveLength(6)
    expect(places.every((one) => isInside(one, machine))).toBe(true)
    expect(leastBetween(places)).toBeGreaterThanOrEqual(3)
  })

  test('closer where they only fit so; nothing where they do not fit at all', () => {
    // With 3 mm between, 4 x 2 fit; with 1 mm 4 x 3.
    const close = filledPlate(feet(12, round(28.2)), machine)
    expect(close?.places).toHaveLength(12)
    expect(leastBetween(close?.places ?? [])).toBeGreaterThanOrEqual(1)
    expect(leastBetween(close?.places ?? [])).toBeLessThan(3)
    expect(filledPlate(feet(13, round(28.2)), machine)).toBeUndefined()
    expect(filledPlate([foot(round(90))], machine)).toBeUndefined()
  })

  const mm = (min: number, max: number) => fc.integer({ min: 2 * min, max: 2 * max }).map((half) => half / 2)
  const anyFoot = fc.record({
    base: fc.record({
      shape: fc.constantFrom('round', 'oval', 'rectangle'),
      widthMm: mm(8, 120),
      lengthMm: fc.option(mm(8, 120)),
    }),
    widestLayerMm2: fc.option(mm(1, 4000)),
  })
  const anyPlate = fc.record({ plateWidthMm: mm(60, 220), plateDepthMm: mm(40, 130) })
  const crowdings: Crowding[] = ['half empty', 'about full', 'packed']

  test('whatever they are: as many as are counted, no two in each other, none over the edge, no fuller than counted for', () => {
    fc.assert(
      fc.property(anyFoot, anyPlate, fc.constantFrom(...crowdings), (any, plate, crowding) => {
        const counted = copiesOnPlate(any, plate, crowding)
        if (counted === 0) {
          expect(filledPlate([any], plate)).toBeUndefined()
          return
        }
        const filled = filledPlate(
          Array.from({ length: counted }, () => any),
          plate,
        )
        expect(filled?.places).toHaveLength(counted)
        expect(filled?.places.every((one) => isInside(one, plate))).toBe(true)
        expect(leastBetween(filled?.places ?? [])).toBeGreaterThanOrEqual(crowding === 'packed' ? 1 : 3)
        if (counted > 1)
          expect(crowdings.indexOf(filled?.crowding ?? 'packed')).toBeLessThanOrEqual(crowdings.indexOf(crowding))
        // One more is fuller than that, or does not fit.
        const more = filledPlate(
          Array.from({ length: counted + 1 }, () => any),
          plate,
        )
        if (counted < 200 && more && crowding !== 'packed')
          expect(crowdings.indexOf(more.crowding)).toBeGreaterThan(crowdings.indexOf(crowding))
        if (counted < 200 && crowding === 'packed') expect(more).toBeUndefined()
      }),
      { numRuns: 300 },
    )
  })
})

test('what a copy covers: as measured, else the base', () => {
  const measured = { widthMm: 30, depthMm: 21, widestLayerMm2: 200 }
  expect(footOf(measured, round(25))).toEqual(foot(box(30, 21), 200))
  expect(footOf(null, round(25))).toEqual(foot(round(25)))
  expect(footOf(undefined, null)).toBeNull()
})

describe('how full a plate is', () => {
  test('by the share of its room', () => {
    // The room is 146 x 92 = 13,432 mm2; a 25 mm round takes 28 x 28 = 784 of it.
    expect(crowdingOf(feet(8, round(25)))).toBe('half empty') // 0.47
    expect(crowdingOf(feet(9, round(25)))).toBe('about full') // 0.53
    expect(crowdingOf(feet(15, round(25)))).toBe('about full') // 0.88
    expect(crowdingOf([foot(box(143, 89))])).toBe('packed')
  })

  test('packed where 3 mm between do not fit, whatever the share', () => {
    expect(crowdingOf(feet(12, round(28.2)))).toBe('packed')
  })

  test('by the widest layers where they cover more', () => {
    // The plate is 143 x 89 = 12,727 mm2, of which a fifth is 2,545 and two fifths 5,091.
    expect(crowdingOf(feet(5, round(25), 500))).toBe('half empty')
    expect(crowdingOf(feet(5, round(25), 520))).toBe('about full')
    expect(crowdingOf(feet(5, round(25), 1030))).toBe('packed')
  })

  test('of several files by all of their copies', () => {
    // 6 x 784 and 2 x 38 x 63 = 9,492 of 13,432: 0.71; alone neither is over a half.
    expect([crowdingOf(feet(6, round(25))), crowdingOf(feet(2, oval(35, 60)))]).toEqual(['half empty', 'half empty'])
    expect(crowdingOf([...feet(6, round(25)), ...feet(2, oval(35, 60))])).toBe('about full')
  })
})

describe('copies on a plate', () => {
  const count = (base: Base, crowding: Crowding, widest: number | null = null) =>
    copiesOnPlate(foot(base, widest), machine, crowding)

  test('in rows with 3 mm between, none at the rim', () => {
    // (143 + 3) / 28 = 5.2 and (89 + 3) / 28 = 3.3
    expect(count(round(25), 'about full')).toBe(5 * 3)
    expect(count(round(89), 'about full')).toBe(1)
    expect(count(box(143, 89), 'about full')).toBe(1)
  })

  test('fewer where it is to stay half empty, more when packed, and one wherever one fits', () => {
    // Half of 13,432 is 8.6 times 784.
    expect(count(round(25), 'half empty')).toBe(8)
    // 1 mm between: (143 + 1) / 29.2 = 4.9 and (89 + 1) / 29.2 = 3.08; with 3 mm 146 / 31.2 = 4.7 and 92 / 31.2 = 2.9
    expect(count(round(28.2), 'about full')).toBe(4 * 2)
    expect(count(round(28.2), 'packed')).toBe(4 * 3)
    expect(count(round(80), 'half empty')).toBe(1)
  })

  test('no more than the widest layers leave, unless it is packed', () => {
    // Two fifths of 12,727 are 4.9 times 1,030.
    expect(count(round(25), 'about full', 1030)).toBe(4)
    expect(count(round(25), 'packed', 1030)).toBe(15)
  })

  test('turned where that is what it takes; none if it is too large', () => {
    expect(count(oval(60, 120), 'about full')).toBe(1)
    expect(count(oval(120, 60), 'about full')).toBe(1)
    expect(count(round(90), 'about full')).toBe(0)
  })

  test('of usual models on the usual printer', () => {
    // (130 + 3) / 35 = 3.8 and (80 + 3) / 35 = 2.4
    expect(copiesOnPlate(usualFoot, usualMachine, 'about full')).toBe(3 * 2)
  })
})

describe('layers and hours by hand', () => {
  test('three worked cases', () => {
    // 36 mm at 0.05 mm: 720 layers of 9.5 s, five lit 27.5 s longer: 6,977.5 s
    expect(layersOf(36, { layerUm: 50 })).toBe(720)
    expect(3600 * plateHours(36, { ...machine, layerUm: 50 })).toBeCloseTo(6977.5, 6)
    // 47.5 mm at 0.03 mm: 1,584 layers, the last not a whole one: 15,185.5 s, 4.2 h
    expect(layersOf(47.5, machine)).toBe(1584)
    expect(3600 * plateHours(47.5, machine)).toBeCloseTo(15185.5, 6)
    // 120 mm at 0.05 mm, 3 + 10 s a layer: 2,400 layers, 31,335 s
    const large = { ...machine, layerUm: 50, exposureS: 3, cycleOverheadS: 10 }
    expect(layersOf(120, large)).toBe(2400)
    expect(3600 * plateHours(120, large)).toBeCloseTo(2400 * 13 + 5 * 27, 6)
  })

  test('foot models of 45 to 50 mm at 0.03 mm, 9 to 10 s a layer: about four to four and a half hours (common practice, no source)', () => {
    expect(plateHours(45, { ...machine, cycleOverheadS: 7 })).toBeGreaterThan(3.9)
    expect(plateHours(50, { ...machine, cycleOverheadS: 7 })).toBeLessThan(4.6)
  })
})
