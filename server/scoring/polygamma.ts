/**
 * First derivative of the logarithm of the gamma function.
 *
 * @param z > 0
 * @returns good to 12 digits, or to 1e-12 near its zero at 1.46
 * @see NIST Digital Library of Mathematical Functions, 5.11.2 (asymptotic series), after 5.5.2 has raised z to 8
 */
export function digamma(z: number): number {
  let at = z
  let below = 0
  while (at < 8) below += 1 / at++
  const square = 1 / (at * at)
  const series = square * (1 / 12 - square * (1 / 120 - square * (1 / 252 - square * (1 / 240 - square / 132))))
  return Math.log(at) - 0.5 / at - series - below
}

/** Its second derivative; the same series, differentiated (5.15.8, with 5.15.5). */
export function trigamma(z: number): number {
  let at = z
  let below = 0
  while (at < 8) below += 1 / (at * at++)
  const square = 1 / (at * at)
  const series = 1 / 6 - square * (1 / 30 - square * (1 / 42 - square * (1 / 30 - square * (5 / 66))))
  return (1 + 0.5 / at + square * series) / at + below
}
