const rounds = 3
/** Shorter than this it is repeated, so that what is measured is the work and not the measuring. */
const leastBatchMs = 1

/** Processor time of this process, which each test file has to itself: how busy the machine is, is not in it. */
export async function processorMs(work: () => unknown): Promise<number> {
  const before = process.cpuUsage()
  await work()
  const { user, system } = process.cpuUsage(before)
  return (user + system) / 1000
}

/** Processor time in ms that the work takes once, the least of several rounds: whatever came in between only adds. */
export async function leastMs(work: () => unknown): Promise<number> {
  const batch = async (times: number) => {
    for (let turn = 0; turn < times; turn++) await work()
  }
  let times = 1
  while ((await processorMs(() => batch(times))) < leastBatchMs) times *= 2
  let least = Number.POSITIVE_INFINITY
  for (let round = 0; round < rounds; round++) least = Math.min(least, await processorMs(() => batch(times)))
  return least / times
}

/** Reference work by which this machine's speed is told, since a slow one is no fault: some 5 ms on an idle core. */
export const yardstick = () => JSON.parse(`[${'{"a":["b",1]},'.repeat(20_000)}0]`)

/** Growth that still counts as linear, as a multiple of proportional time: at 20 times the size, quadratic work takes 20. */
export const mostOverLinear = 2.5

/** Most tries: other load on the machine makes linear work look worse, never better. */
const tries = 8

/** Measures until a result is under the limit, or the tries are used up. @returns the least result */
export async function leastOfTries(limit: number, measure: () => Promise<number>): Promise<number> {
  let least = Number.POSITIVE_INFINITY
  for (let turn = 0; turn < tries && least >= limit; turn++) least = Math.min(least, await measure())
  return least
}

/**
 * How many times as long as in proportion the work takes at 20 times the size.
 *
 * @param make the work on something of a size; making it is not measured
 */
export async function growthOf(make: (size: number) => () => unknown, size: number): Promise<number> {
  const [small, twentyfold] = [make(size), make(20 * size)]
  return leastOfTries(mostOverLinear, async () => (await leastMs(twentyfold)) / (await leastMs(small)) / 20)
}
