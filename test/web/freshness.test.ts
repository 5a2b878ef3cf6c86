import { expect, test } from 'vitest'
import { freshWords } from '../../web/pages/Estimates.tsx'

test.each([
  [null, 0, 0, 'Nothing has been reported yet, so there are no estimates of your own.'],
  [null, 0, 3, 'The figures are being worked out from your plates for the first time.'],
  [0.4, 1, 0, 'The estimates were worked out just now from 1 plate.'],
  [12.2, 412, 1, 'The estimates were worked out 12 minutes ago from 412 plates; 1 plate is not counted yet.'],
  [121, 412, 3, 'The estimates were worked out 2 hours ago from 412 plates; 3 plates are not counted yet.'],
  [3 * 1440, 412, 30, 'The estimates were worked out 3 days ago from 412 plates; 30 plates are not counted yet.'],
])('%s minutes ago from %d plates, %d not counted', (minutesAgo, plates, notCounted, words) => {
  const sinceFitS = minutesAgo === null ? null : 60 * minutesAgo
  expect(freshWords({ sinceFitS, plates, notCounted })).toBe(words)
})
