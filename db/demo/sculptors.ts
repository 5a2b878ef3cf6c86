import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { described, keysOf, maybe, story } from './described.ts'
import data from './sculptors.json' with { type: 'json' }

const shape = z.strictObject({
  name: z.string(),
  credit: maybe(z.literal('unnamed')),
  shop: z.string().describe('where they sell, without `https://`'),
  currency: z.enum(['EUR', 'USD', 'GBP', 'JPY']),
  formats: z.array(z.string()),
  licence: z.string(),
  alsoAtStall: z.boolean().describe('Whether a second shop sells their files as well.'),
  story,
})

export type SculptorKey = keyof typeof data
export const sculptors = described(shape, data)
export const sculptorKeys = keysOf(sculptors)

export function makeSculptors({ calendar, id }: Making) {
  const rows = sculptorKeys.map((key, index): Insertable<Tables['sculptor']> => {
    const createdAt = calendar.at(466 - index, 19)
    const { name, credit = 'named' } = sculptors[key]
    return { id: id(createdAt), name, credit, createdAt }
  })
  const ids = Object.fromEntries(sculptorKeys.map((key, index) => [key, rows[index]?.id])) as Record<
    SculptorKey,
    string
  >
  return { rows, ids }
}
