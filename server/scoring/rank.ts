import { compareText } from './compare.ts'

/** What an answer to a request is ranked by; money in minor units of the group's currency. */
export type Rankable = {
  /** file's id and title, for equal scores */
  id: string
  title: string
  /** on offer, or in the member's archive */
  obtainable: boolean
  /** an open snag says that it can't be printed */
  blocked: boolean
  /** must-haves of the request that it does not cover */
  missing: number
  /** without the price of the file where it can't be had: such answers are in this order among themselves */
  costToTableMinor: number
  looksMinor: number
}

/** `scoreMinor` is null where the file can't be had: then it has no price. */
export type Ranked<Answer extends Rankable> = Answer & { rank: number; scoreMinor: number | null }

/**
 * What the looks of an answer cost: the models wanted, at what it is worth to have one that the group would field,
 * times the share that would not.
 *
 * @param share of the votes, strictly between 0 and 1
 */
export function looksMinor(wanted: number, looksWorthMinor: number, share: number): number {
  return Math.round(wanted * looksWorthMinor * (1 - share))
}

/**
 * Answers in one sum of money, cost to table plus looks, lowest first. Those that lack a must-have come after all that
 * cover everything, those that can't be obtained after all that can, and those that are blocked last, since a file that
 * is bought and can't be printed is worse than one that can't be bought; each group in order of score. Equal scores go by
 * title, then by id, so that the order is the same every time.
 */
export function rank<Answer extends Rankable>(answers: readonly Answer[]): Ranked<Answer>[] {
  return answers
    .map((answer) => ({ answer, sum: answer.costToTableMinor + answer.looksMinor }))
    .sort((one, other) => {
      return groupOf(one.answer) - groupOf(other.answer) || one.sum - other.sum || byTitle(one.answer, other.answer)
    })
    .map(({ answer, sum }, index) => ({ ...answer, rank: index + 1, scoreMinor: answer.obtainable ? sum : null }))
}

const byTitle = (one: Rankable, other: Rankable) => compareText(one.title, other.title) || compareText(one.id, other.id)

/** 0 fine, 1 lacks a must-have, 2 can't be obtained, 3 blocked (obtainable or not). */
function groupOf({ obtainable, blocked, missing }: Rankable): number {
  if (blocked) return 3
  if (!obtainable) return 2
  return missing > 0 ? 1 : 0
}
