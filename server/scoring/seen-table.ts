// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { chancesBySet, stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import { blindPrior, tableWeight } from './model.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/**
 * Step 5: the share of looks noted blindly, with what each look showed summed out; then which failed stage each showed,
 * if it was not noted blindly, and the table itself. Were the share drawn from the number of blind looks instead, it would
 * move so little in a large group that two chains did not meet. "Don't know" says nothing about any of it.
 *
 * @param before the table before any report, each cause's chances adding up to 1
 */
export function drawTable(layout: Layout, state: State, before: Float64Array, random: Random): void {
  const looks = countLooks(layout, state.failed)
  state.blind = drawBlind(looks, state, random)
  drawRows(state.byCause, drawShown(looks, state, random), before, random)
  chancesBySet(state.byCause, state.blind, state.chancesOfSeen)
}

/** Failed copies by label and set of failed stages, in the order of `chancesOfSeen`. */
function countLooks({ seen, labelCount }: Layout, failed: Uint8Array): Int32Array {
  const looks = new Int32Array(stageSets * (labelCount + 1))
  for (let copy = 0; copy < seen.length; copy++) looks[stageSets * seen[copy]! + failed[copy]!]!++
  return looks.subarray(0, stageSets * labelCount)
}

function drawBlind(looks: Int32Array, { byCause, blind }: State, random: Random): number {
  const labels = byCause.length / 3
  const looked = new Float64Array(stageSets * (labels + 1))
  chancesBySet(byCause, 0, looked)
  // On the logit scale, with d eps / d logit.
  const likelihood = (logit: number) => {
    const [share, rest] = [1 / (1 + Math.exp(-logit)), 1 / (1 + Math.exp(logit))]
    let sum = blindPrior[0] * Math.log(share) + blindPrior[1] * Math.log(rest)
    for (let at = 0; at < looks.length; at++) {
      if (looks[at]! > 0) sum += looks[at]! * Math.log(rest * looked[at]! + share / labels)
    }
    return sum
  }
  return 1 / (1 + Math.exp(-random.slice(Math.log(blind / (1 - blind)), likelihood)))
}

/** @returns looks that showed a stage, three numbers a label */
function drawShown(looks: Int32Array, { byCause, blind }: State, random: Random): Int32Array {
  const labels = byCause.length / 3
  const shown = new Int32Array(byCause.length)
  for (let label = 0; label < labels; label++) {
    for (let set = 1; set < stageSets; set++) {
      for (let look = 0; look < looks[stageSets * label + set]!; look++) {
        const cause = drawCause(set, byCause, 3 * label, blind, labels, random)
        if (cause >= 0) shown[3 * label + cause]!++
      }
    }
  }
  return shown
}

/** @returns the stage that the label shows, -1 where it was noted blindly */
function drawCause(set: number, byCause: Float64Array, row: number, blind: number, labels: number, random: Random) {
  const file = set & 1 ? byCause[row]! : 0
  const machine = set & 2 ? byCause[row + 1]! : 0
  const plate = set & 4 ? byCause[row + 2]! : 0
  const size = (set & 1) + ((set >> 1) & 1) + (set >> 2)
  const looked = (1 - blind) * (file + machine + plate)
  const drawn = random.uniform() * (looked + (blind * size) / labels)
  if (drawn >= looked) return -1
  const rest = drawn / (1 - blind)
  if (rest < file) return 0
  return rest < file + machine || plate === 0 ? 1 : 2
}

/** Every cause's chances from their Dirichlet distribution: gamma variables, scaled to add up to 1. */
function drawRows(byCause: Float64Array, shown: Int32Array, before: Float64Array, random: Random): void {
  const labels = byCause.length / 3
  for (let stage = 0; stage < 3; stage++) {
    let sum = 0
    for (let label = 0; label < labels; label++) {
      const at = 3 * label + stage
      const weight = tableWeight * before[at]! + shown[at]!
      const value = weight > 0 ? Math.exp(random.logGamma(weight)) : 0
      byCause[at] = value
      sum += value
    }
    for (let label = 0; label < labels; label++) byCause[3 * label + stage]! /= sum
  }
}
