// biome-ignore-all lint/style/noNonNullAssertion: the grid has as many ties as weights
import { stages } from './labels.ts'
import { rhoGrid, rhoWeights, tieOf } from './model.ts'
import type { Random } from './random.ts'

/** A group's ties before any report, by stage. */
export function tiesBeforeReports(random: Random): number[] {
  return stages.map((stage) => tieOf(rhoGrid[random.index(rhoWeights[stage])]!))
}
