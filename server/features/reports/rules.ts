import type { Blame } from '../../scoring/blame.ts'
import { type Stage, stages } from '../../scoring/labels.ts'

/**
 * "Most likely ..." is said of a stage whose share of the blame is over this: where one copy failed, and where several
 * did. (SCORING, section 6; the study counts how often it is right.)
 */
export const likelyFrom: Readonly<Record<Stage, { one: number; several: number }>> = {
  file: { one: 0.6, several: 0.6 },
  machine: { one: 0.6, several: 0.6 },
  plate: { one: 0.6, several: 0.6 },
}

/** What most likely caused a plate's failures; null where that can't be said. @param failed copies that failed */
export function likelyCause(blame: Blame, failed: number): Stage | null {
  const over = (stage: Stage) => blame[stage] > likelyFrom[stage][failed === 1 ? 'one' : 'several']
  const [first] = stages.filter(over).sort((one, other) => blame[other] - blame[one])
  return first ?? null
}
