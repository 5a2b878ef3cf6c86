import { expect, test } from 'vitest'
import { freshWords } from '../../web/parts/freshness.tsx'

test.each([
  [null, 0, 3, 'The estimates have not been worked out from all reports yet.'],
  [0.4, 1, 0, 'The estimates were worked out just now from 1 report, none since.'],
  [12.2, 412, 3, 'The estimates were worked out 12 minutes ago from 412 reports, 3 since.'],
  [121, 412, 3, 'The estimates were worked out 2 hours ago from 412 reports, 3 since.'],
  [3 * 1440, 412, 30, 'The estimates were worked out 3 days ago from 412 reports, 30 since.'],
])('%s minutes ago from %d reports, %d since', (minutesAgo, reports, since, words) => {
  expect(freshWords({ minutesAgo, reports, since })).toBe(words)
})
