import { describe, expect, test } from 'vitest'
import { adviceOn, confounded } from '../../server/scoring/verdict.ts'

const seen = (label: string, copies: number) => [{ seen: label, copies }]

describe('advice', () => {
  test('the machine bears most of it: look at the printer', () => {
    expect(adviceOn({ file: 0.2, machine: 0.7, plate: 0.1 }, 0.1)).toEqual([
      { code: 'look at the printer', because: 'most of the blame', share: 0.7 },
    ])
  })

  test('a printer that is probably worn is to be looked at even when the file takes the blame', () => {
    expect(adviceOn({ file: 0.8, machine: 0.1, plate: 0.1 }, 0.5)).toEqual([
      { code: 'look at the printer', because: 'probably worn', probability: 0.5 },
      { code: 'other supports or another file', share: 0.8 },
    ])
  })

  test('a poor plate: fewer copies', () => {
    expect(adviceOn({ file: 0.2, machine: 0.2, plate: 0.6 }, 0)).toEqual([{ code: 'fewer copies a plate', share: 0.6 }])
  })

  test('nothing stands out: nothing is advised', () => {
    expect(adviceOn({ file: 0.4, machine: 0.3, plate: 0.3 }, 0.1)).toEqual([])
  })
})

describe('a file that cannot be told from one printer', () => {
  test('nearly all from one, and nobody saw why', () => {
    expect(confounded({ copiesByPeriod: [9, 1], failures: seen("don't know", 3) })).toEqual({
      copiesFromOnePeriod: 0.9,
      unknownFailures: 1,
    })
  })

  test('another printer, or a look, tells', () => {
    expect(confounded({ copiesByPeriod: [5, 5], failures: seen("don't know", 3) })).toBeUndefined()
    expect(confounded({ copiesByPeriod: [9, 1], failures: seen('soft detail', 3) })).toBeUndefined()
    expect(confounded({ copiesByPeriod: [], failures: [] })).toBeUndefined()
  })
})
