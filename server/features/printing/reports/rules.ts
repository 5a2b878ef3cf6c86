import type { Blame } from '../../../scoring/blame.ts'
import { type Stage, stages } from '../../../scoring/labels.ts'
import { likelyFrom } from '../../../scoring/verdict.ts'

/**
 * So many copies have to have failed for it: as many as make it right at least 75 times in 100 in groups that are not
 * drawn from the model (test/study/RESULTS.md, "Most likely"). Of a plate's crowding it never is.
 */
export const leastFailed: Readonly<Record<Stage, number>> = { file: 1, machine: 4, plate: Number.POSITIVE_INFINITY }

/** What most likely caused a plate's failures; null where that can't be said. @param failed copies that failed */
export function likelyCause(blame: Blame, failed: number): Stage | null {
  const first = stages.find((stage) => blame[stage] > likelyFrom)
  return first && failed >= leastFailed[first] ? first : null
}

/** A cause bears enough of the blame to be called likely, and only `leastFailed` keeps it from that. */
export const isRightTooSeldom = ({ likely, canTell, ...blame }: Blame & { likely: Stage | null; canTell: boolean }) =>
  canTell && likely === null && stages.some((stage) => blame[stage] > likelyFrom)
