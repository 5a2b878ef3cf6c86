import { describe, expect, test } from 'vitest'
import { crowdingOf, type Foot, footOf, layoutOf, packed } from '../../server/planning/plate.ts'
import { type Base, copiesOnPlate, layersOf, type Machine, plateHours } from '../../server/planning/printing.ts'

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
const copies = (count: number, base: Base): Base[] => Array.from({ length: count }, () => base)
const feet = (count: number, base: Base, widestLayerMm2: number | null = null): Foot[] =>
  copies(count, base).map((one) => ({ base: one, widestLayerMm2 }))

describe('where copies stand', () => {
  test('on the plate, 3 mm between any two of them', () => {
    const mixed = [...copies(4, round(25)), { shape: 'oval', widthMm: 35, lengthMm: 60 } as const, round(40)]
    const placed = packed(mixed, machine) ?? []
    expect(placed).toHaveLength(6)
    for (const [index, one] of placed.entries()) {
      expect(one.xMm).toBeGreaterThanOrEqual(0)
      expect(one.yMm).toBeGreaterThanOrEqual(0)
      expect(one.xMm + one.widthMm).toBeLessThanOrEqual(143)
      expect(one.yMm + one.depthMm).toBeLessThanOrEqual(89)
      for (const other of placed.slice(index + 1)) {
        const beside = Math.max(other.xMm - one.xMm - one.widthMm, one.xMm - other.xMm - other.widthMm)
        const behind = Math.max(other.yMm - one.yMm - one.depthMm, one.yMm - other.yMm - other.depthMm)
        expect(Math.max(beside, behind)).toBeGreaterThanOrEqual(3)
      }
    }
  })

  test('as many as the planning counts, and one more does not', () => {
    for (const base of [round(25), round(32), { shape: 'oval', widthMm: 42, lengthMm: 75 } as const]) {
      const most = copiesOnPlate(base, machine, 'about full')
      expect(packed(copies(most, base), machine)).toHaveLength(most)
      expect(packed(copies(most + 1, base), machine)).toBeUndefined()
    }
  })

  test('closer where they only fit so; nothing where they do not fit at all', () => {
    // With 3 mm between, 4 x 2 fit; with 1 mm 4 x 3.
    expect(packed(copies(12, round(28.2)), machine)).toBeUndefined()
    expect(layoutOf(copies(12, round(28.2)), machine)).toHaveLength(12)
    expect(layoutOf(copies(13, round(28.2)), machine)).toBeUndefined()
    expect(layoutOf([round(90)], machine)).toBeUndefined()
  })

  test('measured first, else the base', () => {
    const measured = { widthMm: 30, depthMm: 21, widestLayerMm2: 200 }
    expect(footOf(measured, round(25))).toEqual({ shape: 'rectangle', widthMm: 30, lengthMm: 21 })
    expect(footOf(null, round(25))).toEqual(round(25))
    expect(footOf(undefined, null)).toBeNull()
  })
})

describe('how full a plate is', () => {
  test('by the share of its room', () => {
    // The room is 146 x 92 = 13,432 mm2; a 25 mm round takes 28 x 28 = 784 of it.
    expect(crowdingOf(feet(8, round(25)), machine)).toBe('half empty') // 0.47
    expect(crowdingOf(feet(9, round(25)), machine)).toBe('about full') // 0.53
    expect(crowdingOf(feet(15, round(25)), machine)).toBe('about full') // 0.88
    expect(crowdingOf(feet(1, { shape: 'rectangle', widthMm: 143, lengthMm: 89 }), machine)).toBe('packed')
  })

  test('packed where 3 mm between do not fit, whatever the share', () => {
    expect(crowdingOf(feet(12, round(28.2)), machine)).toBe('packed')
  })

  test('by the widest layers where they cover more', () => {
    // The plate is 143 x 89 = 12,727 mm2, of which a fifth is 2,545 and two fifths 5,091.
    expect(crowdingOf(feet(5, round(25), 500), machine)).toBe('half empty')
    expect(crowdingOf(feet(5, round(25), 520), machine)).toBe('about full')
    expect(crowdingOf(feet(5, round(25), 1030), machine)).toBe('packed')
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
