import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { described, keyIn, keysOf, maybe, story } from './described.ts'
import { type MemberIds, members } from './members.ts'
import data from './resins.json' with { type: 'json' }

const shape = z.strictObject({
  owner: keyIn(members),
  name: z.string(),
  since: z.int().describe('days ago'),
  price: z.tuple([z.int().describe('in minor units'), z.string()]).describe('of the bottle, or of a kilogram'),
  bottleG: maybe(z.number()),
  bottleMl: maybe(z.number()),
  gramsPerMl: z.number(),
  usual: maybe(z.literal(true)).describe('Whether it is what counts for its owner.'),
  latestPlates: maybe(z.int()).describe("So many of its owner's latest plates name it."),
  remark: maybe(z.string()),
  story,
})

const resins = described(shape, data)

/** The bottles, and which is whose usual one. Plates that were printed with one get its id. */
export function makeResins(
  { calendar, id }: Making,
  memberIds: MemberIds,
  plates: readonly Insertable<Tables['plate']>[],
) {
  const usual: { id: string; ownerId: string }[] = []
  const rows = keysOf(resins).map((key): Insertable<Tables['resin']> => {
    const { owner, name, since, price, bottleG = null, bottleMl = null, gramsPerMl, remark = '', ...more } = resins[key]
    const [priceMinor, priceCurrency] = price
    const createdAt = calendar.at(since, 20)
    const [resinId, ownerId] = [id(createdAt), memberIds[owner]]
    if (more.usual) usual.push({ id: resinId, ownerId })
    const own = plates.filter(({ memberId, told }) => memberId === ownerId && told !== false)
    if (more.latestPlates) for (const plate of own.slice(-more.latestPlates)) plate.resinId = resinId
    const size = { bottleG, bottleMl, gramsPerMl }
    return { id: resinId, ownerId, name, priceMinor, priceCurrency, ...size, remark, createdAt }
  })
  return { rows, usual }
}
