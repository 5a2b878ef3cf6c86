import { type Base, baseMisfit } from './base.ts'
import type { MoneyValue } from './money.tsx'
import { hundredths } from './numbers.ts'
import type { Interval } from './success-interval.tsx'

/** A stand-in as far as it is told apart from another. */
export interface Comparable {
  title: string
  /** To the table; null where it can't be had. */
  perModel: MoneyValue | null
  comesOut: Interval
  /** Measured or noted; null where nobody knows. */
  heightMm: number | null
  scaleMm: number | null
  base: Base | null
  /** Can't be had, or a snag stops the print: such ones are never what others are held against. */
  hindered: boolean
}

/**
 * What tells stand-ins apart, in sentences: of two, the cheaper beside the other; of more, each beside the cheapest that can
 * be had. "Reed Sentries is €1.10 a model cheaper than Bog Bows and comes out 5 of 100 less often; its base is 2 mm too small."
 *
 * @param compared two at least; with fewer there is nothing to tell
 * @param money writes a sum in the reader's manner
 */
export function differences(
  compared: readonly Comparable[],
  unit: { scaleMm: number; base: Base | null },
  money: (value: MoneyValue) => string,
): string[] {
  const [first, second, ...more] = compared.toSorted(byPrice)
  if (!first || !second) return []
  const pairs = more.length === 0 ? [{ one: first, beside: second }] : besideFirst(first, [second, ...more])
  const last = more.length === 0 ? second : first
  return [
    ...pairs.map(({ one, beside }) => `${sentence(one, beside, money, misfits(one, unit))}.`),
    ...misfits(last, unit).map((misfit) => `${last.title}: ${misfit}.`),
  ]
}

const besideFirst = (first: Comparable, others: Comparable[]) => others.map((one) => ({ one, beside: first }))

function byPrice(one: Comparable, other: Comparable): number {
  const price = ({ perModel }: Comparable) => Number(perModel?.amount ?? Number.POSITIVE_INFINITY)
  const [mine, others] = [price(one), price(other)]
  return Number(one.hindered) - Number(other.hindered) || (mine === others ? 0 : mine - others)
}

function sentence(one: Comparable, beside: Comparable, money: (value: MoneyValue) => string, misfits: string[]) {
  const cost = costs(one, beside, money)
  const than = cost.includes(beside.title) ? '' : beside.title
  const points = [cost, comesOut(one, beside, than), stands(one, beside)].filter((point) => point !== null)
  return [`${one.title} ${inARow(points)}`, ...misfits].join('; ')
}

/** "is €1.10 a model cheaper than Bog Bows". */
function costs(one: Comparable, beside: Comparable, money: (value: MoneyValue) => string): string {
  if (!one.perModel) return 'is not to be had'
  if (!beside.perModel) return `can be had, unlike ${beside.title},`
  const digits = one.perModel.amount.split('.')[1]?.length ?? 0
  const more = Number((Number(one.perModel.amount) - Number(beside.perModel.amount)).toFixed(digits))
  if (more === 0) return `costs as much as ${beside.title}`
  const sum = money({ amount: Math.abs(more).toFixed(digits), currency: one.perModel.currency })
  return `is ${sum} a model ${more > 0 ? 'dearer' : 'cheaper'} than ${beside.title}`
}

/** "comes out 5 of 100 less often", than what it was not held against yet; where each mean lies within the other's interval nobody can tell yet. */
function comesOut({ comesOut: own }: Comparable, { comesOut: other }: Comparable, than: string): string {
  const more = hundredths(own.mean) - hundredths(other.mean)
  if (more === 0) return `comes out as often${than && ` as ${than}`}`
  const within = ({ mean }: Interval, { low, high }: Interval) => mean >= low && mean <= high
  const doubt = within(own, other) && within(other, own) ? ' (which may be luck)' : ''
  return `comes out ${Math.abs(more)} of 100 ${more > 0 ? 'more' : 'less'} often${than && ` than ${than}`}${doubt}`
}

/** "stands 3 mm taller"; less than a millimetre is nothing at the table. */
function stands({ heightMm: own }: Comparable, { heightMm: other }: Comparable): string | null {
  if (own === null || other === null || Math.abs(own - other) < 1) return null
  return `stands ${Math.round(Math.abs(own - other))} mm ${own > other ? 'taller' : 'shorter'}`
}

/** What does not fit the unit, of one stand-in alone. */
export function misfits(
  one: Pick<Comparable, 'scaleMm' | 'base'>,
  unit: { scaleMm: number; base: Base | null },
): string[] {
  const base = baseMisfit(one.base, unit.base)
  return [
    ...(one.scaleMm !== null && one.scaleMm !== unit.scaleMm ? [`it is made for ${one.scaleMm} mm`] : []),
    ...(base === null ? [] : [`its base is ${base}`]),
  ]
}

const inARow = (points: string[]) =>
  points.length < 3 ? points.join(' and ') : `${points.slice(0, -1).join(', ')} and ${points.at(-1)}`
