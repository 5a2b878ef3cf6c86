import type { Random } from '../../server/scoring/random.ts'
import { anyOf } from './drawn-group.ts'

/**
 * What members note of a failed copy. What a failure really looks like is not the service's table but one of the group's
 * own, and who does not look notes what he always notes. (All figures: common practice, no source.)
 */
const labels = [
  'supports snapped',
  'part had no support',
  'nothing stuck to the plate',
  'one side of the plate only',
  'stuck to the film',
  'layers pulled apart',
  'soft detail',
] as const

/** Another trade's table: by stage, file, machine and plate. */
const otherTable = [
  [30, 30, 4, 2, 8, 18, 8],
  [10, 2, 30, 20, 24, 9, 5],
  [18, 4, 16, 14, 22, 20, 6],
] as const

/** Of a group, how often each stage shows each label; by member, the labels that are noted without looking. */
export type Habits = { table: readonly (readonly number[])[]; favourites: readonly string[] }

/** The group's own table: the other trade's with every figure up or down by a third or so. */
export function tableOfGroup(random: Random): Habits['table'] {
  return otherTable.map((row) => row.map((chance) => chance * Math.exp(0.35 * random.normal())))
}

export function habitsOf(table: Habits['table'], random: Random): Habits {
  return { table, favourites: [anyOf(labels, random), anyOf(labels, random), anyOf(labels, random)] }
}

/** @param failed stages that failed, 0 file, 1 machine, 2 plate; at least one */
export function lookAt(
  failed: readonly number[],
  { table, favourites }: Habits,
  { blind, unknown }: { blind: number; unknown: number },
  random: Random,
): string {
  if (random.uniform() < unknown) return "don't know"
  if (random.uniform() < blind) return anyOf(favourites, random)
  const row = table[anyOf(failed, random)] ?? []
  let left = random.uniform() * row.reduce((sum, chance) => sum + chance, 0)
  const found = row.findIndex((chance) => {
    left -= chance
    return left < 0
  })
  return labels[found] ?? 'soft detail'
}
