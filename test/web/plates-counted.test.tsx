import { expect, test } from 'vitest'
import { PlatesCounted, platesASquare } from '../../web/pages/Estimates.tsx'
import { html, words } from './render.tsx'

test.each([
  [0, 1],
  [500, 1],
  [501, 10],
  [5_000, 10],
  [5_001, 100],
])('of %d plates a square stands for %d', (plates, each) => {
  expect(platesASquare(plates)).toBe(each)
})

test('a square a plate: filled where it counts, hollow while it waits', () => {
  const drawn = html(<PlatesCounted counted={3} waiting={2} />)
  expect(drawn.match(/class="plate-counted"/g)).toHaveLength(3)
  expect(drawn.match(/class="plate-waiting"/g)).toHaveLength(2)
  expect(words(<PlatesCounted counted={3} waiting={2} />)).toContain('hollow while it waits')
  expect(words(<PlatesCounted counted={3} waiting={0} />)).not.toContain('hollow')
})
