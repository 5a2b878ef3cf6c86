import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { described, keysOf, maybe } from './described.ts'
import { type MemberIds, somebody } from './members.ts'
import { randomFrom } from './random.ts'
import data from './units.json' with { type: 'json' }

export const base = z.tuple([z.enum(['round', 'oval', 'rectangle']), z.number(), z.number().exactOptional()])
/** Shape, width and length in mm. */
export type Base = z.infer<typeof base>

const shape = z.strictObject({
  name: z.string(),
  // The Ebb Years: each year the sea comes up the valleys and stays for a season; people live on dykes and stilts, and
  // keep lights. Kilnfall: towns grew around kilns that must never go out; everything else is glass, clay and ash.
  setting: z.enum(['The Ebb Years', 'Kilnfall']),
  scaleMm: z.number(),
  aliases: maybe(z.array(z.string())),
  base,
  models: z.int().describe('models in a unit, as boxed'),
  box: maybe(z.int()).describe('price of the box, in cents; left out where there never was one'),
  onPlate: maybe(z.enum(['few', 'one'])).describe('how many models of it go on a plate; left out: a dozen'),
})

export type UnitKey = keyof typeof data
export const units = described(shape, data)
const unitKeys = keysOf(units)

/** Every unit's days since it was written down: all in the group's first weeks. */
const writtenDown = (index: number) => 464 - index

export const baseColumns = (base: Base | null) => ({
  baseShape: base?.[0] ?? null,
  baseWidthMm: base?.[1] ?? null,
  baseLengthMm: base?.[2] ?? null,
})

export function makeUnits({ calendar, id }: Making, memberIds: MemberIds) {
  const random = randomFrom('units')
  const rows = unitKeys.map((key, index): Insertable<Tables['unit']> => {
    const ago = writtenDown(index)
    const createdAt = calendar.at(ago, random.whole(18, 21))
    const { name, setting, scaleMm, aliases = [], models: modelsPerUnit, box, base } = units[key]
    const price = { retailPriceMinor: box ?? null, retailPriceCurrency: box === undefined ? null : 'EUR' }
    const columns = {
      name,
      setting,
      scaleMm,
      aliases: [...aliases],
      modelsPerUnit,
      ...baseColumns(base),
      ...price,
    }
    return { id: id(createdAt), ...columns, createdBy: memberIds[somebody(ago, random)], createdAt }
  })
  const ids = Object.fromEntries(unitKeys.map((key, index) => [key, rows[index]?.id])) as Record<UnitKey, string>
  return { rows, ids }
}
