import { describe, expect, test } from 'vitest'
import { type Machine, plateHours, printEstimate, usualMachine } from '../../server/planning/printing.ts'

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

  test('on the usual printer a plate of usual models takes four to four and a half hours (common practice, no source)', () => {
    expect(plateHours(47.5, usualMachine)).toBeGreaterThan(4)
    expect(plateHours(47.5, usualMachine)).toBeLessThan(4.5)
  })
})
