// biome-ignore-all lint/style/noNonNullAssertion: arrays indexed within their bounds by construction
import type { Total } from './priors.ts'
import { eventShares, expectedEvents, logChanceOfPlate } from './ties.ts'

/**
 * One way in which a node's failures may have come about: so many were its own. `log` is the logarithm of its weight:
 * the node's reports are as likely as the sum over cases of exp(log) p^x (1 - p)^y.
 */
export type Case = Total & { log: number }

/**
 * A node's evidence; with its cases where they are known. A total alone stands for fractions of failures, which no node
 * can have had: whether a file has failed half a time, or as likely once as never, is not the same to it.
 */
export type Told = Total & { cases?: readonly Case[] | undefined }

export function casesOf(told: Told): readonly Case[] {
  return told.cases ?? [{ x: Math.max(0, told.x), y: Math.max(0, told.y), log: 0 }]
}

/** What one plate says about one of its stages. */
export type PlateEvidence = {
  tried: number
  /** chances that a failed copy looks as it did if this stage passed, and if it failed, by label */
  failures: readonly { passed: number; failed: number; copies: number }[]
}

/** Less likely than this, a case is dropped. */
const negligible = 1e-9
const mostCases = 6
/** From so many copies on the cases of one plate are no longer told apart. */
const mostFailed = 40

/** Whether a plate's failures are few enough to be told apart. */
export function canTellApart({ failures }: PlateEvidence): boolean {
  return failures.reduce((sum, { copies }) => sum + copies, 0) <= mostFailed
}

/**
 * Gathers a node's cases, plate by plate: the chance of 0, 1, 2, … own failing events at the success that the node is
 * taken for. That these multiply is exact in 1 - p, and in p as far as copies of a plate are not tied.
 */
export class Cases {
  readonly #success: number
  readonly #size: number
  /** events in all that depend on the stage, own failures included; and what they count */
  #events = 0
  #counted = 0
  #own = [1]
  #plain: Total = { x: 0, y: 0 }

  /** @param success that the node is taken for, 0-1 @param size see sizeOfTies */
  constructor(success: number, size: number) {
    this.#success = Math.min(1 - negligible, Math.max(negligible, success))
    this.#size = size
  }

  /** Evidence that goes in as it is. */
  addTotal({ x, y }: Total): void {
    this.#plain = { x: this.#plain.x + x, y: this.#plain.y + y }
  }

  /** @param weight what the plate counts; a node's plates all count the same in its cases, the average */
  addPlate({ tried, failures }: PlateEvidence, weight = 1): void {
    const events =
      failures.length === 0 ? expectedEvents(tried, this.#success, this.#size) : this.#addFailed(tried, failures)
    this.#events += events
    this.#counted += weight * events
  }

  /** @returns events of the plate, passed or failed */
  #addFailed(tried: number, failures: PlateEvidence['failures']): number {
    const byCopies = this.#chancesByCopies(tried, failures)
    const byEvents: number[] = []
    let copies = 0
    byCopies.forEach((chance, failed) => {
      copies += chance * failed
      eventShares(failed, 1 - this.#success, this.#size).forEach((share, events) => {
        byEvents[events] = (byEvents[events] ?? 0) + chance * share
      })
    })
    this.#own = trimmed(convolved(this.#own, byEvents))
    const failed = byEvents.reduce((sum, chance, count) => sum + chance * count, 0)
    return expectedEvents(tried - copies, this.#success, this.#size) + failed
  }

  /** Chance that 0, 1, 2, … of a plate's copies failed at this stage. */
  #chancesByCopies(tried: number, failures: PlateEvidence['failures']): number[] {
    let looks = [1]
    for (const { passed, failed, copies } of failures) {
      const one = [passed / (passed + failed), failed / (passed + failed)]
      for (let copy = 0; copy < copies; copy++) looks = convolved(looks, one)
    }
    const logs = looks.map(
      (chance, own) => Math.log(chance) + logChanceOfPlate(tried - own, own, this.#success, this.#size),
    )
    const most = logs.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
    const chances = logs.map((log) => Math.exp(log - most))
    const sum = chances.reduce((a, b) => a + b, 0)
    return chances.map((chance) => chance / sum)
  }

  /** The cases, at most six: beyond, neighbours are taken together. */
  cases(): Case[] {
    const [logPass, logFail] = [Math.log(this.#success), Math.log(1 - this.#success)]
    const weight = this.#events === 0 ? 1 : this.#counted / this.#events
    const all = this.#own.flatMap((chance, own) => {
      return chance > 0 ? [{ own, chance, x: weight * (this.#events - own), y: weight * own }] : []
    })
    return groupedCases(all).map(({ chance, x, y }) => {
      const log = Math.log(chance) - x * logPass - y * logFail
      return { x: Math.max(0, x + this.#plain.x), y: Math.max(0, y + this.#plain.y), log }
    })
  }
}

function convolved(one: readonly number[], other: readonly number[]): number[] {
  const result = new Array<number>(one.length + other.length - 1).fill(0)
  one.forEach((a, i) => {
    if (a === 0) return
    other.forEach((b, j) => {
      result[i + j]! += a * b
    })
  })
  return result
}

/** Drops what is negligible: zeros in front, for places count, and nothing behind. */
function trimmed(chances: number[]): number[] {
  const sum = chances.reduce((a, b) => a + b, 0)
  const last = chances.findLastIndex((chance) => chance > negligible * sum)
  return chances.slice(0, last + 1).map((chance) => (chance > negligible * sum ? chance / sum : 0))
}

/** So many failing events of a node's own, how likely that is, and the evidence that it comes to. */
export type Likely = Total & { own: number; chance: number }

/**
 * At most six: none and one apart, since there is no failing a little; the others in groups of about the same chance.
 *
 * @param all by number of own events, ascending
 */
export function groupedCases(all: readonly Likely[]): Likely[] {
  if (all.length <= mostCases) return [...all]
  const few = all.filter(({ own }) => own < 2)
  const many = all.slice(few.length)
  const share = many.reduce((sum, { chance }) => sum + chance, 0) / (mostCases - few.length)
  const groups: Likely[] = []
  let reached = 0
  for (const one of many) {
    const place = Math.min(mostCases - few.length - 1, Math.floor((reached + one.chance / 2) / share))
    reached += one.chance
    groups[place] = groups[place] ? together(groups[place], one) : one
  }
  return [...few, ...groups.filter(Boolean)]
}

function together(one: Likely, other: Likely): Likely {
  const chance = one.chance + other.chance
  const average = (of: 'own' | 'x' | 'y') => (one[of] * one.chance + other[of] * other.chance) / chance
  return { own: average('own'), chance, x: average('x'), y: average('y') }
}
