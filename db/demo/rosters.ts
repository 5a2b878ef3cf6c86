import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { keyIn, story } from './described.ts'
import { type MemberIds, members as memberData } from './members.ts'
import data from './rosters.json' with { type: 'json' }
import { units as known, type UnitKey } from './units.ts'

/** A unit, or none where the words are of no unit; how many models; as it was pasted, where that is not the unit's name. */
const entry = z.tuple([keyIn(known).nullable(), z.int(), z.string().exactOptional()])
const shape = z.strictObject({
  owner: keyIn(memberData),
  name: z.string(),
  made: z.int().describe('days ago'),
  entries: z.array(entry),
  story,
})
const rosters = z.array(shape).parse(data)

export function makeRosters(
  { calendar, id }: Making,
  { members, units }: { members: MemberIds; units: Record<UnitKey, string> },
) {
  const made: { rows: Insertable<Tables['roster']>[]; entries: Insertable<Tables['rosterEntry']>[] } = {
    rows: [],
    entries: [],
  }
  for (const { owner, name, made: ago, entries } of rosters) {
    const createdAt = calendar.at(ago, 20.5)
    const rosterId = id(createdAt)
    made.rows.push({ id: rosterId, ownerId: members[owner], name, shared: true, createdAt })
    for (const [index, [unit, models, words]] of entries.entries()) {
      const called = words ?? (unit ? known[unit].name : '')
      const unitId = unit && units[unit]
      made.entries.push({ id: id(createdAt), rosterId, place: index + 1, words: called, unitId, models })
    }
  }
  return made
}
