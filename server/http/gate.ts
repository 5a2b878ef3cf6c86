import type { Problem } from './problem.ts'

interface Room {
  atOnce: number
  waiting: number
  /** what is said to whoever finds even the line full */
  refusal: () => Problem
}

/**
 * Lets so much work in at once, has some more wait for its turn, and turns the rest away: however many come at a time,
 * what they take is bounded.
 *
 * @returns carries work out when it is its turn @throws Problem the refusal, when too much waits already
 */
export function gate({ atOnce, waiting, refusal }: Room) {
  let inside = 0
  const line: (() => void)[] = []
  const enter = async () => {
    if (inside < atOnce) {
      inside += 1
      return
    }
    if (line.length >= waiting) throw refusal()
    await new Promise<void>((itsTurn) => line.push(itsTurn))
  }
  // Whoever goes out hands their place to the next in line.
  const leave = () => {
    const next = line.shift()
    if (next) next()
    else inside -= 1
  }
  return async <Result>(work: () => Promise<Result>): Promise<Result> => {
    await enter()
    try {
      return await work()
    } finally {
      leave()
    }
  }
}

/** A gate for each of many, such as members, so that none of them takes all the room: forgotten while nothing of theirs is in it. */
export function gateForEach(room: Room) {
  const gates = new Map<string, { pass: ReturnType<typeof gate>; inIt: number }>()
  return async <Result>(whose: string, work: () => Promise<Result>): Promise<Result> => {
    const theirs = gates.get(whose) ?? { pass: gate(room), inIt: 0 }
    gates.set(whose, theirs)
    theirs.inIt += 1
    try {
      return await theirs.pass(work)
    } finally {
      theirs.inIt -= 1
      if (theirs.inIt === 0) gates.delete(whose)
    }
  }
}
