const rounds = 3
/** Shorter than this it is repeated, so that what is measured is the work and not the measuring. */
const leastBatchMs = 3

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

/** As many times as long as in proportion still counts as linear; at ten times the size a quadratic work takes 10 times. */
export const mostOverLinear = 2.5

/**
 * How many times as long as in proportion the work takes at 10 and at 20 times the size.
 *
 * @param make the work on something of a size; making it is not measured
 */
export async function growthOf(
  make: (size: number) => () => unknown,
  size: number,
): Promise<[ten: number, twenty: number]> {
  const small = await leastMs(make(size))
  const [ten, twenty] = [await leastMs(make(10 * size)), await leastMs(make(20 * size))]
  return [ten / small / 10, twenty / small / 20]
}
