import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { GroupFit } from '../../server/scoring/group-fit.ts'
import { countedCopies, fullCopies, memberWeight, worthOfPlate } from '../../server/scoring/members.ts'
import type { MembersReport } from '../../server/scoring/report-list.ts'

describe("what one member's copies count in all", () => {
  test('in full up to ten, 17.5 of forty, never as much as twenty', () => {
    expect(countedCopies(10)).toBe(10)
    expect(countedCopies(40)).toBe(17.5)
    expect(countedCopies(1e9)).toBeLessThanOrEqual(20)
  })

  test('never less for more, nor more than one each; without a step at ten', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 50, noNaN: true }),
        (n, more) => {
          const added = countedCopies(n + more) - countedCopies(n)
          expect(added).toBeGreaterThanOrEqual(-1e-9)
          expect(added).toBeLessThanOrEqual(more + 1e-9)
        },
      ),
    )
    expect((countedCopies(fullCopies + 1e-6) - fullCopies) / 1e-6).toBeCloseTo(1, 4)
  })

  test('shared alike among the reports', () => {
    const plates = [6, 6, 10, 10, 4, 8, 8]
    const worth = plates.reduce((sum, tried) => sum + worthOfPlate(tried), 0)
    // 6 copies at 1 / (1 + 5 x 0.1), and so on: 4 + 4 + 5.263 + 5.263 + 3.077 + 4.706 + 4.706
    expect(worth).toBeCloseTo(31.015, 3)
    expect(memberWeight(worth) * worth).toBeCloseTo(countedCopies(worth), 12)
    expect(memberWeight(9)).toBe(1)
  })
})

let count = 0
const report = (over: Partial<MembersReport>): MembersReport => ({
  ...{ id: `r${count++}`, memberId: 'Ada', supportSet: 'hound', group: 'Sedge', printerPeriod: 'attic/1' },
  ...{ crowding: 'normal', good: 1, failures: [], ...over },
})

const fitOf = (reports: readonly MembersReport[]) => {
  const group = new GroupFit({ hold: true })
  for (const one of reports) group.add(one)
  return group.fit()
}

describe('in a fit', () => {
  const others = [
    report({ supportSet: 'heron', memberId: 'Ben', printerPeriod: 'shed/1', good: 6 }),
    report({ memberId: 'Ben', printerPeriod: 'shed/1', good: 4 }),
  ]
  const many = Array.from({ length: 40 }, () => report({}))

  test('forty plates of one member on one printer count 17.5, to the file and to the printer', () => {
    const { supportSets, printerPeriods } = fitOf(many)
    expect(supportSets.get('hound')?.x).toBeCloseTo(17.5, 9)
    expect(printerPeriods.get('attic/1')?.x).toBeCloseTo(17.5, 9)
  })

  test("others' reports on the same file, and on other printers, count in full", () => {
    const { supportSets, printerPeriods } = fitOf([...many, ...others])
    expect(supportSets.get('hound')?.x).toBeCloseTo(17.5 + worthOfPlate(4), 9)
    expect(printerPeriods.get('shed/1')?.x).toBeCloseTo(worthOfPlate(6) + worthOfPlate(4), 9)
    expect(supportSets.get('heron')?.x).toBeCloseTo(worthOfPlate(6), 9)
  })

  test('another upkeep period, or another file, is another thing', () => {
    const elsewhere = many.map((one, index) => ({ ...one, printerPeriod: index < 20 ? 'attic/1' : 'attic/2' }))
    expect(fitOf(elsewhere).supportSets.get('hound')?.x).toBeCloseTo(2 * countedCopies(20), 9)
  })

  test('taken back, they leave what never having had them leaves', () => {
    const before = fitOf([...others, ...many.slice(0, 8)])
    const after = fitOf([...others, ...many].filter(({ id }) => !many.slice(8).some((one) => one.id === id)))
    expect(after.supportSets).toEqual(before.supportSets)
    expect(after.printerPeriods).toEqual(before.printerPeriods)
  })
})
