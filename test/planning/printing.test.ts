import { describe, expect, test } from 'vitest'
import { type Base, copiesOnPlate, type Machine, plateHours, printEstimate } from '../../server/planning/printing.ts'

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

describe('hours of a plate', () => {
  test('foot models of 28 mm with supports take four to four and a half (common practice, no source)', () => {
    for (const heightMm of [45, 47.5, 50]) {
      for (const secondsALayer of [9, 9.5, 10]) {
        const hours = plateHours(heightMm, { ...machine, cycleOverheadS: secondsALayer - 2.5 })
        expect(hours).toBeGreaterThan(3.7)
        expect(hours).toBeLessThan(4.7)
      }
    }
    expect(plateHours(47.5, machine)).toBeGreaterThan(4)
    expect(plateHours(47.5, machine)).toBeLessThan(4.5)
  })

  test('layers are whole, the bottom ones lit for longer', () => {
    // 45 mm / 0.03 mm = 1500 layers of 9.5 s, five of them with 27.5 s more.
    expect(3600 * plateHours(45, machine)).toBeCloseTo(1500 * 9.5 + 5 * 27.5, 6)
    expect(3600 * plateHours(45.01, machine)).toBeCloseTo(1501 * 9.5 + 5 * 27.5, 6)
    expect(3600 * plateHours(0.09, machine)).toBeCloseTo(3 * (30 + 7), 6)
  })
})

describe('copies on a plate', () => {
  test('in rows with 3 mm between, none at the rim', () => {
    // (143 + 3) / 28 = 5.2 and (89 + 3) / 28 = 3.3
    expect(copiesOnPlate(round(25), machine, 'normal')).toBe(5 * 3)
    expect(copiesOnPlate(round(89), machine, 'normal')).toBe(1)
    expect(copiesOnPlate({ shape: 'rectangle', widthMm: 143, lengthMm: 89 }, machine, 'normal')).toBe(1)
  })

  test('half as many loosely, more when packed, and one wherever one fits', () => {
    expect(copiesOnPlate(round(25), machine, 'loose')).toBe(7)
    // 1 mm between: (143 + 1) / 29.5 = 4.9 and (89 + 1) / 29.5 = 3.05, against 4 x 2
    expect(copiesOnPlate(round(28.5), machine, 'normal')).toBe(4 * 2)
    expect(copiesOnPlate(round(28.5), machine, 'packed')).toBe(4 * 3)
    expect(copiesOnPlate(round(80), machine, 'loose')).toBe(1)
  })

  test('turned where that is what it takes; none if it is too large', () => {
    expect(copiesOnPlate({ shape: 'oval', widthMm: 60, lengthMm: 120 }, machine, 'normal')).toBe(1)
    expect(copiesOnPlate({ shape: 'oval', widthMm: 120, lengthMm: 60 }, machine, 'normal')).toBe(1)
    expect(copiesOnPlate(round(90), machine, 'normal')).toBe(0)
  })

  test('never overlapping: no more than the area holds', () => {
    for (let widthMm = 10; widthMm < 90; widthMm += 3.7) {
      for (const lengthMm of [widthMm, 1.4 * widthMm, 2.1 * widthMm]) {
        const copies = copiesOnPlate({ shape: 'rectangle', widthMm, lengthMm }, machine, 'normal')
        expect(copies * (widthMm + 3) * (lengthMm + 3)).toBeLessThanOrEqual(146 * 92)
      }
    }
  })
})

describe('what an entry takes', () => {
  test('copies with the failures to expect, plates, hours', () => {
    const estimate = printEstimate(
      { models: 20, attemptsPerGood: 1.2, heightMm: 45, base: round(25) },
      machine,
      'normal',
    )
    expect(estimate).toMatchObject({ copies: 24, copiesPerPlate: 15, plates: 2, fits: true })
    expect(estimate.hours).toBeCloseTo(2 * plateHours(45, machine), 9)
  })

  test('what nobody knows stays unknown', () => {
    const task = { models: 3, attemptsPerGood: 1, heightMm: null, base: null }
    expect(printEstimate(task, machine, 'normal')).toEqual({
      copies: 3,
      copiesPerPlate: null,
      plates: null,
      hoursPerPlate: null,
      hours: null,
      fits: true,
    })
  })

  test('too high or too wide for the machine', () => {
    const task = { models: 1, attemptsPerGood: 1, heightMm: 166, base: round(25) }
    expect(printEstimate(task, machine, 'normal')).toMatchObject({ fits: false, hours: null })
    expect(printEstimate({ ...task, heightMm: 45, base: round(130) }, machine, 'normal')).toMatchObject({
      fits: false,
      copiesPerPlate: 0,
      plates: null,
      hours: null,
    })
  })
})
