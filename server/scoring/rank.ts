/** What an answer to a request is ranked by; money in minor units of the group's currency. */
export type Rankable = {
  /** file's id and title, for equal scores */
  id: string
  title: string
  /** on offer, or in the member's archive */
  obtainable: boolean
  /** an open snag says that it can't be printed */
  blocked: boolean
  costToTableMinor: number
  looksMinor: number
}

export type Ranked<Answer extends Rankable> = Answer & { rank: number; scoreMinor: number }

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
 * Answers in one sum of money, cost to table plus looks, lowest first. Those that can't be obtained come after all
 * that can, and those that are blocked after all that are not, since a file that is bought and can't be printed is
 * worse than one that can't be bought; each group in order of score. Equal scores go by title, then by id, so that the
 * order is the same every time.
 */
export function rank<Answer extends Rankable>(answers: readonly Answer[]): Ranked<Answer>[] {
  return answers
    .map((answer) => ({ ...answer, scoreMinor: answer.costToTableMinor + answer.looksMinor }))
    .sort(byGroupScoreTitle)
    .map((answer, index) => ({ ...answer, rank: index + 1 }))
}

type Scored = Rankable & { scoreMinor: number }

function byGroupScoreTitle(one: Scored, other: Scored): number {
  return (
    groupOf(one) - groupOf(other) ||
    one.scoreMinor - other.scoreMinor ||
    compareText(one.title, other.title) ||
    compareText(one.id, other.id)
  )
}

/** 0 fine, 1 can't be obtained, 2 blocked (obtainable or not). */
function groupOf({ obtainable, blocked }: Rankable): number {
  if (blocked) return 2
  return obtainable ? 0 : 1
}

/** By code unit: the same on every machine, whatever its language. */
function compareText(one: string, other: string): number {
  if (one === other) return 0
  return one < other ? -1 : 1
}
