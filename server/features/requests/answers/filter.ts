import { z } from 'zod'
import { supportKind } from '../../catalogue/revisions/schema.ts'
import type { Answer } from './schema.ts'

const box = z.literal('true').optional().catch(undefined)
const many = z.union([z.string().transform((one) => [one]), z.array(z.string())]).catch([])

/** The filter of a unit's page as its address carries it; whatever can't be read counts as not given. */
export const standInFilter = z.object({
  wanted: z.coerce.number().int().min(1).max(1000).optional().catch(undefined),
  sort: z.enum(['score', 'cost', 'price', 'success']).default('score').catch('score'),
  support: supportKind.optional().catch(undefined),
  maxPrice: z.coerce.number().positive().optional().catch(undefined),
  minSuccess: z.coerce.number().min(1).max(100).optional().catch(undefined),
  option: many,
  fitsScale: box,
  fitsBase: box,
  obtainable: box,
  unblocked: box,
  own: box,
  looks: z.string().optional(),
  /** so many are passed over: those of the pages before */
  from: z.coerce.number().int().min(0).max(100_000).default(0).catch(0),
  compare: many,
  said: z.string().optional(),
})

export type StandInFilter = z.infer<typeof standInFilter>

interface Wanted {
  scaleMm: number
  base: { shape: string; widthMm: number; lengthMm: number | null } | null
}

/**
 * Which of a unit's stand-ins pass the filter, in the order asked for, but that those which can't be had come after the
 * others, and those that a snag stops last. Ranked ones stay in rank for equal figures.
 */
export function filterStandIns(answers: readonly Answer[], filter: StandInFilter, unit: Wanted): Answer[] {
  const passes = (answer: Answer) =>
    (filter.support === undefined || answer.printSuccess.kind === filter.support) &&
    (filter.maxPrice === undefined ||
      (answer.breakdown.price !== null && Number(answer.breakdown.price) <= filter.maxPrice)) &&
    (filter.minSuccess === undefined || answer.comesOut.mean * 100 >= filter.minSuccess) &&
    filter.option.every((one) => answer.file.options.includes(one)) &&
    (!filter.fitsScale || answer.file.scaleMm === unit.scaleMm) &&
    (!filter.fitsBase || fitsBase(answer.file.base, unit.base)) &&
    (!filter.obtainable || answer.obtainable) &&
    (!filter.unblocked || answer.blockedBy.length === 0)
  return answers
    .filter(passes)
    .sort((one, other) => hindrance(one) - hindrance(other) || keyOf(one, filter.sort) - keyOf(other, filter.sort))
}

/** 0 nothing in the way, 1 not to be had, 2 stopped by a snag: as in the ranking. */
const hindrance = ({ obtainable, blockedBy }: Answer) => (blockedBy.length > 0 ? 2 : obtainable ? 0 : 1)

function keyOf(answer: Answer, sort: StandInFilter['sort']): number {
  // What can't be had has no price.
  if (sort === 'cost') return Number(answer.costToTable?.amount ?? Number.POSITIVE_INFINITY)
  if (sort === 'price') return Number(answer.breakdown.price ?? Number.POSITIVE_INFINITY)
  if (sort === 'success') return -answer.comesOut.mean
  return answer.rank
}

/** A file's base stands on the unit's when the shape is the same and it is no larger; none given fits none. */
function fitsBase(base: Wanted['base'], wanted: Wanted['base']): boolean {
  if (!base || !wanted) return false
  return (
    base.shape === wanted.shape &&
    base.widthMm <= wanted.widthMm &&
    (base.lengthMm ?? 0) <= (wanted.lengthMm ?? Number.POSITIVE_INFINITY)
  )
}
