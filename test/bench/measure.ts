/** Processor time of this process so far, all its threads together, in ms: unlike a clock's, it leaves others' work out. */
export function cpuMs(): number {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}

export function timed<Result>(work: () => Result): { result: Result; ms: number } {
  const before = cpuMs()
  const result = work()
  return { result, ms: cpuMs() - before }
}

/** The fastest of a few runs, in ms: the others were held up by something. */
export function bestMs(runs: number, work: () => void): number {
  return Math.min(...Array.from({ length: runs }, () => timed(work).ms))
}

/** The value that a share of all values do not exceed. */
export function quantileOf(values: readonly number[], share: number): number {
  const ordered = values.toSorted((one, other) => one - other)
  return ordered[Math.ceil(share * ordered.length) - 1] ?? Number.NaN
}

/** What was measured, and whether it keeps to its goal if it has one. */
export type Line = { what: string; value: number; unit: string; goal?: number }

/** Prints a line. @returns whether its goal was met */
export function met({ what, value, unit, goal }: Line): boolean {
  const isMet = goal === undefined || value <= goal
  const aim = goal === undefined ? '' : `   goal ${goal} ${unit}${isMet ? '' : ', missed'}`
  console.log(`${what.padEnd(60)}${value.toPrecision(3).padStart(8)} ${unit}${aim}`)
  return isMet
}
