import type { Plate } from '../../server/scoring/plates.ts'

/** Copies that came out good, of how many. */
export type Count = { good: number; tried: number }

type Rule = {
  /** which failures count: all, those that look like the file's or nobody's, or those that truly were the file's */
  of: 'all' | 'not blamed elsewhere' | 'truly its own'
  success: (count: Count) => number
}

const beta =
  (a: number, b: number) =>
  ({ good, tried }: Count) =>
    (good + a) / (tried + a + b)

/** Rules that count copies. The last one is told what nobody can know, as a mark of what could be had. */
export const rivals = {
  'raw rate': { of: 'all', success: ({ good, tried }) => (tried === 0 ? 0.5 : good / tried) },
  'Beta(1,1)': { of: 'all', success: beta(1, 1) },
  'Beta(8.5,1.5)': { of: 'all', success: beta(8.5, 1.5) },
  'Beta(8.5,1.5), blamed elsewhere dropped': { of: 'not blamed elsewhere', success: beta(8.5, 1.5) },
  'Wilson, lower end of 80 %': { of: 'all', success: ({ good, tried }) => wilson(good, tried, z80)[0] },
  'true causes told': { of: 'truly its own', success: beta(8.5, 1.5) },
} as const satisfies Record<string, Rule>

export type Rival = keyof typeof rivals
export const told = 'true causes told'
export const realRivals = (Object.keys(rivals) as Rival[]).filter((name) => name !== told)

/** Of a standard normal, 8 in 10 lie within so much. R: qnorm(.9) */
const z80 = 1.2815515655446004

/**
 * Wilson's score interval for a rate.
 *
 * @param good of tried
 * @param z quantile of the standard normal: 1.96 for 95 %
 * @see Wilson (1927), Probable inference, the law of succession, and statistical inference, JASA 22, 209-212
 */
export function wilson(good: number, tried: number, z: number): [low: number, high: number] {
  if (tried === 0) return [0, 1]
  const rate = good / tried
  const square = (z * z) / tried
  const middle = rate + square / 2
  const half = z * Math.sqrt((rate * (1 - rate)) / tried + square / (4 * tried))
  return [(middle - half) / (1 + square), (middle + half) / (1 + square)]
}

/** Looks that speak more for the printer or the plate than for the file. (Common practice, no source.) */
const blamedElsewhere: readonly string[] = [
  'nothing stuck to the plate',
  'one side of the plate only',
  'stuck to the film',
  'layers pulled apart',
]

/** Copies of every line, of which only those failures count that pass. */
export function countCopies(plates: readonly Plate[], counts: (seen: string) => boolean): Map<string, Count> {
  const byLine = new Map<string, Count>()
  for (const { line, good, failures } of plates.flatMap(({ prints }) => prints)) {
    const before = byLine.get(line) ?? { good: 0, tried: 0 }
    const failed = failures.reduce((sum, { seen, copies }) => sum + (counts(seen) ? copies : 0), 0)
    byLine.set(line, { good: before.good + good, tried: before.tried + good + failed })
  }
  return byLine
}

/** What every rival makes of a line's success, all in: it knows no stages. */
export function opinionsOfRivals(plates: readonly Plate[], own: ReadonlyMap<string, Count>) {
  const counts = {
    all: countCopies(plates, () => true),
    'not blamed elsewhere': countCopies(plates, (seen) => !blamedElsewhere.includes(seen)),
    'truly its own': own,
  }
  return new Map(
    (Object.entries(rivals) as [Rival, Rule][]).map(([name, { of, success }]) => {
      return [name, (line: string) => success(counts[of].get(line) ?? { good: 0, tried: 0 })] as const
    }),
  )
}
