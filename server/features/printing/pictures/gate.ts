import { Problem } from '../../../http/problem.ts'

/** Seconds after which whoever was turned away may try again. */
const againS = 10

/**
 * Lets so much work in at once, has some more wait for its turn, and turns the rest away: however many come at a time,
 * what they take is bounded.
 *
 * @returns carries work out when it is its turn @throws Problem 503 when too much waits already
 */
export function gate({ atOnce, waiting }: { atOnce: number; waiting: number }) {
  let inside = 0
  const line: (() => void)[] = []
  const enter = async () => {
    if (inside < atOnce) {
      inside += 1
      return
    }
    if (line.length >= waiting)
      throw new Problem(503, 'Many pictures are coming in just now. Please send this again in a moment.', {
        retryAfterS: againS,
      })
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
