import { ofHundred } from './numbers.ts'

/** The share of copies that is charged for is so much smaller than the one that is said. */
const farWorse = 0.05

/**
 * "1.8 fail on average". Where little is known the average is more than the share lets expect, since it counts that the
 * file may print far worse: "6.1 fail on average: 3.6 if 73 of 100 come out, many more if it prints worse".
 *
 * @param comesOut the share that is said, 0 to 1
 * @param expectedFailures as charged, on the way to so many good copies as are wanted
 */
export function failingWords(wanted: number, comesOut: number, expectedFailures: number): string {
  const number = expectedFailures.toFixed(1)
  const failing = `${number} ${number === '1.0' ? 'fails' : 'fail'} on average`
  if (comesOut - wanted / (wanted + expectedFailures) <= farWorse) return failing
  const asSaid = (wanted * (1 / comesOut - 1)).toFixed(1)
  return `${failing}: ${asSaid} if ${ofHundred(comesOut)} come out, many more if it prints worse`
}
