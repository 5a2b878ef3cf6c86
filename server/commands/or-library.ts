import type { Problem } from '../planning/problem.ts'
import { Malformed } from './malformed.ts'

/** Larger instances than this would not fit into the solver's memory. */
const mostWays = 5_000_000

/**
 * Reads an uncapacitated facility location instance in OR-Library's format: the numbers of facilities and customers;
 * for each facility a capacity (ignored, may be the word `capacity`) and the cost of opening it; for each customer a
 * demand (ignored) and the cost of serving all of it from each facility. Line ends mean nothing.
 *
 * @throws Malformed naming the number that is missing, wrong or too many
 * @see Beasley (1990), OR-Library: distributing test problems by electronic mail
 */
export function parseOrLibrary(text: string): Problem {
  const numbers = new Numbers(text)
  const facilities = numbers.count('number of facilities')
  const customers = numbers.count('number of customers')
  if (facilities * customers > mostWays) {
    throw new Malformed(`${facilities} facilities x ${customers} customers is more than ${mostWays}`)
  }
  const prices = Array.from({ length: facilities }, (_, facility) => {
    numbers.capacity(`capacity of facility ${facility + 1}`)
    return numbers.cost(`cost of opening facility ${facility + 1}`)
  })
  const ways = Array.from({ length: customers }, (_, customer) => {
    numbers.cost(`demand of customer ${customer + 1}`)
    return Array.from({ length: facilities }, (_, offer) => {
      return { offer, cost: numbers.cost(`cost of customer ${customer + 1} from facility ${offer + 1}`), choice: 0 }
    })
  })
  numbers.end()
  return { prices, ways, splits: [], limits: [] }
}

/** The numbers of a text one after the other, each asked for by what it should be. */
class Numbers {
  readonly #words: string[]
  #next = 0

  constructor(text: string) {
    this.#words = text.split(/\s+/).filter((word) => word !== '')
  }

  count(what: string): number {
    const word = this.#word(what)
    const value = Number(word)
    if (!/^\d+$/.test(word) || value < 1 || value > mostWays) {
      throw new Malformed(`${what}: ${quoted(word)} is not a whole number from 1 to ${mostWays}`)
    }
    return value
  }

  cost(what: string): number {
    return costOf(this.#word(what), what)
  }

  capacity(what: string): void {
    const word = this.#word(what)
    if (word.toLowerCase() !== 'capacity') costOf(word, what)
  }

  end(): void {
    const left = this.#words.length - this.#next
    if (left > 0) throw new Malformed(`${left} more than expected, beginning with ${quoted(this.#word(''))}`)
  }

  #word(what: string): string {
    const word = this.#words[this.#next++]
    if (word === undefined) throw new Malformed(`ends before the ${what}`)
    return word
  }
}

function costOf(word: string, what: string): number {
  const value = Number(word)
  if (/^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$/.test(word) && value >= 0 && value <= 1e15) return value
  throw new Malformed(`${what}: ${quoted(word)} is not a number from 0 to 1e15`)
}

function quoted(word: string): string {
  return JSON.stringify(word.length > 40 ? `${word.slice(0, 40)}…` : word)
}
