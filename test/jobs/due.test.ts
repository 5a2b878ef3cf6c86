import { describe, expect, test } from 'vitest'
import { isFitDue } from '../../server/jobs/fit.ts'

describe('when a fit is due', () => {
  const waiting = { plates: 100, sinceFitS: 1, newestMarkS: 3, oldestMarkS: 3 }
  test.each([
    ['a moment after the latest mark', {}, true],
    ['not while marks are still coming', { newestMarkS: 0.5, oldestMarkS: 5 }, false],
    ['but not put off for ever', { newestMarkS: 0.5, oldestMarkS: 21 }, true],
    ['nothing without a mark', { newestMarkS: null, oldestMarkS: null }, false],
    ['from 3,000 plates on once a minute', { plates: 3000, sinceFitS: 59 }, false],
    ['which is then', { plates: 3000, sinceFitS: 60 }, true],
    ['from 30,000 on once an hour', { plates: 30_000, sinceFitS: 3599 }, false],
    ['at once where there was none', { plates: 0, sinceFitS: null }, true],
  ])('%s', (_, over, due) => {
    expect(isFitDue({ ...waiting, ...over })).toBe(due)
  })
})
