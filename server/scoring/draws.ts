// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction

import { logistic } from './logit.ts'

/** So many sweeps are kept of a fit, the same ones for everything in it, so that what hangs together stays together. */
export const drawCount = 400

/** Draws of one chance, each strictly between 0 and 1; place by place they belong to the same sweeps. */
export type Draws = Float64Array

export type Summary = { mean: number; low: number; high: number }

const stepsPerLogit = 2048
const middle = 32768

/** A chance as 16 bits, evenly on the logit scale: from 1e-7 to 1 - 1e-7, in steps of 1/2048. */
export function quantised(pass: number, fail: number): number {
  const step = middle + Math.round(stepsPerLogit * Math.log(pass / fail))
  return Math.max(0, Math.min(65535, step))
}

/** The chances of one node as they were kept. @param kept 16 bits a draw */
export function drawsOf(kept: ArrayLike<number>): Draws {
  const draws = new Float64Array(kept.length)
  for (let draw = 0; draw < draws.length; draw++) draws[draw] = logistic((kept[draw]! - middle) / stepsPerLogit)
  return draws
}

/** The part of a fit's draws that belongs to one node. */
export function keptOf(all: Uint16Array, node: number, count = drawCount): Uint16Array {
  return all.subarray(count * node, count * (node + 1))
}

/** Place by place the product: a copy passes all of its stages. */
export function productOf(first: Draws, ...others: readonly Draws[]): Draws {
  const product = first.slice()
  for (const row of others) for (let draw = 0; draw < product.length; draw++) product[draw]! *= row[draw]!
  return product
}

/** Neighbours added up. @param to after the last of them @param first what they are added to */
export function sumOf(numbers: ArrayLike<number>, from = 0, to = numbers.length, first = 0): number {
  let sum = first
  for (let at = from; at < to; at++) sum += numbers[at]!
  return sum
}

export const meanOf = (draws: ArrayLike<number>) => sumOf(draws) / draws.length

/** Mean and the interval that is shown everywhere: 8 in 10 draws fall inside, 1 in 10 on either side. */
export function summaryOf(draws: ArrayLike<number>): Summary {
  const sorted = new Float64Array(draws).sort()
  return { mean: meanOf(draws), low: quantileOfSorted(sorted, 0.1), high: quantileOfSorted(sorted, 0.9) }
}

/**
 * @param sorted ascending, at least one
 * @see Hyndman & Fan (1996), Sample quantiles in statistical packages, American Statistician 50, 361-365, definition 8
 */
export function quantileOfSorted(sorted: Float64Array, chance: number): number {
  const place = Math.max(1, Math.min(sorted.length, (sorted.length + 1 / 3) * chance + 1 / 3))
  const below = Math.floor(place)
  const from = sorted[below - 1]!
  return from + (place - below) * ((sorted[below] ?? from) - from)
}
