// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { chancesBySet, sizeOfSet, stageSets } from './labels.ts'
import type { Layout } from './layout.ts'
import { farthest, logistic, within } from './logit.ts'
import { priors } from './model.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/**
 * Step 5: the share of looks noted blindly, with what each look showed summed out; then which failed stage each showed,
 * if it was not noted blindly, and the table itself. Were the share drawn from the number of blind looks instead, it would
 * move so little in a large group that two chains did not meet. "Don't know" says nothing about any of it.
 *
 * @param before the table before any report, each cause's chances adding up to 1
 */
export function drawTable({ seen }: Layout, state: State, before: Float64Array, random: Random): void {
  // Failed copies by label and set of failed stages.
  const looks = new Int32Array(state.chancesOfSeen.length)
  for (let copy = 0; copy < seen.length; copy++) looks[stageSets * seen[copy]! + state.failed[copy]!]!++
  const told = looks.subarray(0, -stageSets)
  state.blind = drawBlind(told, state, random)
  drawRows(state.byCause, drawShown(told, state, random), before, random)
  chancesBySet(state.byCause, state.blind, state.chancesOfSeen)
}

function drawBlind(looks: Int32Array, { byCause, blind, chancesOfSeen }: State, random: Random): number {
  const labels = byCause.length / 3
  const looked = new Float64Array(chancesOfSeen.length)
  chancesBySet(byCause, 0, looked)
  // On the logit scale, with d eps / d logit.
  const density = (logit: number) => {
    if (Math.abs(logit) > farthest) return Number.NEGATIVE_INFINITY
    const [share, rest] = [logistic(logit), logistic(-logit)]
    let sum = priors.blind[0] * Math.log(share) + priors.blind[1] * Math.log(rest)
    for (let at = 0; at < looks.length; at++) {
      if (looks[at]! > 0) sum += looks[at]! * Math.log(rest * looked[at]! + share / labels)
    }
    return sum
  }
  return logistic(random.slice(within(Math.log(blind / (1 - blind))), density))
}

/** @returns looks that showed a stage, three numbers a label */
function drawShown(looks: Int32Array, { byCause, blind }: State, random: Random): Int32Array {
  const labels = byCause.length / 3
  const shown = new Int32Array(byCause.length)
  looks.forEach((count, at) => {
    const [row, set] = [3 * Math.floor(at / stageSets), at % stageSets]
    const file = set & 1 ? byCause[row]! : 0
    const machine = set & 2 ? byCause[row + 1]! : 0
    const plate = set & 4 ? byCause[row + 2]! : 0
    const looked = (1 - blind) * (file + machine + plate)
    for (let look = 0; look < count; look++) {
      const drawn = random.uniform() * (looked + (blind * sizeOfSet[set]!) / labels)
      if (drawn >= looked) continue
      const rest = drawn / (1 - blind)
      const stage = rest < file ? 0 : rest < file + machine || plate === 0 ? 1 : 2
      shown[row + stage]!++
    }
  })
  return shown
}

/** Every cause's chances from their Dirichlet distribution: gamma variables, scaled to add up to 1. */
function drawRows(byCause: Float64Array, shown: Int32Array, before: Float64Array, random: Random): void {
  for (let stage = 0; stage < 3; stage++) {
    let sum = 0
    for (let at = stage; at < byCause.length; at += 3) {
      const weight = priors.table * before[at]! + shown[at]!
      byCause[at] = weight > 0 ? Math.exp(random.logGamma(weight)) : 0
      sum += byCause[at]!
    }
    for (let at = stage; at < byCause.length; at += 3) byCause[at]! /= sum
  }
}
