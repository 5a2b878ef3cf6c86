import { describe, expect, test } from 'vitest'
import {
  type Base,
  copiesOnPlate,
  type Machine,
  plateHours,
  plateOf,
  printEstimate,
  usualBase,
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
    expect(copiesOnPlate(round(25), machine, 'about full')).toBe(5 * 3)
    expect(copiesOnPlate(round(89), machine, 'about full')).toBe(1)
    expect(copiesOnPlate({ shape: 'rectangle', widthMm: 143, lengthMm: 89 }, machine, 'about full')).toBe(1)
  })

  test('half as many loosely, more when packed, and one wherever one fits', () => {
    expect(copiesOnPlate(round(25), machine, 'half empty')).toBe(7)
    // 1 mm between: (143 + 1) / 29.2 = 4.9 and (89 + 1) / 29.2 = 3.08; with 3 mm 146 / 31.2 = 4.7 and 92 / 31.2 = 2.9
    expect(copiesOnPlate(round(28.2), machine, 'about full')).toBe(4 * 2)
    expect(copiesOnPlate(round(28.2), machine, 'packed')).toBe(4 * 3)
    expect(copiesOnPlate(round(80), machine, 'half empty')).toBe(1)
  })

  test('turned where that is what it takes; none if it is too large', () => {
    expect(copiesOnPlate({ shape: 'oval', widthMm: 60, lengthMm: 120 }, machine, 'about full')).toBe(1)
    expect(copiesOnPlate({ shape: 'oval', widthMm: 120, lengthMm: 60 }, machine, 'about full')).toBe(1)
    expect(copiesOnPlate(round(90), machine, 'about full')).toBe(0)
  })

  test('never overlapping: no more than the area holds', () => {
    for (let widthMm = 10; widthMm < 90; widthMm += 3.7) {
      for (const lengthMm of [widthMm, 1.4 * widthMm, 2.1 * widthMm]) {
        const copies = copiesOnPlate({ shape: 'rectangle', widthMm, lengthMm }, machine, 'about full')
        expect(copies * (widthMm + 3) * (lengthMm + 3)).toBeLessThanOrEqual(146 * 92)
      }
    }
  })
})

describe('what an entry takes', () => {
  const task = { models: 20, attemptsPerGood: 1.2, heightMm: 45, copiesPerPlate: 15 }

  test('whole copies with the failures to expect, plates, hours', () => {
    const estimate = printEstimate(task, machine)
    expect(estimate).toMatchObject({ copies: 24, plates: 2, fits: true })
    expect(estimate.hours).toBeCloseTo(2 * plateHours(45, machine), 9)
  })

  test('what nobody knows stays unknown', () => {
    expect(printEstimate({ models: 3, attemptsPerGood: 1, heightMm: null, copiesPerPlate: null }, machine)).toEqual({
      copies: 3,
      plates: null,
      hoursPerPlate: null,
      hours: null,
      fits: true,
    })
  })

  test('too high or too wide for the machine', () => {
    expect(printEstimate({ ...task, heightMm: 166 }, machine)).toMatchObject({ fits: false, hours: null })
    const none = { fits: false, plates: null, hours: null }
    expect(printEstimate({ ...task, copiesPerPlate: 0 }, machine)).toMatchObject(none)
  })

  test('a plate is packed once for each base', () => {
    const onPlate = plateOf(machine, 'about full')
    expect([onPlate(round(25)), onPlate(round(89)), onPlate(round(90)), onPlate(round(25))]).toEqual([15, 1, 0, 15])
    expect(onPlate({ shape: 'oval', widthMm: 60, lengthMm: 120 })).toBe(1)
  })

  test('on the usual printer a plate of usual models takes four to four and a half hours (common practice, no source)', () => {
    expect(plateHours(47.5, usualMachine)).toBeGreaterThan(4)
    expect(plateHours(47.5, usualMachine)).toBeLessThan(4.5)
    // (130 + 3) / 35 = 3.8 and (80 + 3) / 35 = 2.4
    expect(copiesOnPlate(usualBase, usualMachine, 'about full')).toBe(3 * 2)
  })
})
