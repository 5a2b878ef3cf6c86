// biome-ignore-all lint/style/noNonNullAssertion: typed arrays, indexed within their bounds by construction
import { chancesBySet } from './labels.ts'
import type { Layout } from './layout.ts'
import { blindPrior, tableWeight } from './model.ts'
import type { Random } from './random.ts'
import type { State } from './state.ts'

/**
 * Step 5: which failed stage each noted look showed, and whether it was noted blindly; then the share of blind ones and
 * the table itself. "Don't know" says nothing about either.
 *
 * @param before the table before any report, each cause's chances adding up to 1
 */
export function drawTable(layout: Layout, state: State, before: Float64Array, random: Random): void {
  const { byCause, failed } = state
  const { seen, labelCount } = layout
  const shown = new Int32Array(3 * labelCount)
  let [blind, known] = [0, 0]
  for (let copy = 0; copy < seen.length; copy++) {
    const label = seen[copy]!
    if (label === labelCount) continue
    known++
    const cause = drawCause(failed[copy]!, byCause, 3 * label, state.blind, labelCount, random)
    if (cause < 0) blind++
    else shown[3 * label + cause]!++
  }
  state.blind = random.beta(blindPrior[0] + blind, blindPrior[1] + known - blind)
  drawRows(byCause, shown, before, random)
  chancesBySet(byCause, state.blind, state.chancesOfSeen)
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
