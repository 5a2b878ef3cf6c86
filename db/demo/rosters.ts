import type { Insertable } from 'kysely'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import type { MemberIds, MemberKey } from './members.ts'
import { type UnitKey, unitOf } from './units.ts'

interface DemoRoster {
  owner: MemberKey
  name: string
  /** days ago */
  made: number
  entries: readonly DemoEntry[]
}

/** A unit, or none where the words are of no unit; how many models; as it was pasted, where that differs from the unit's name. */
type DemoEntry = readonly [unit: UnitKey | null, models: number, words?: string]

const rosters: readonly DemoRoster[] = [
  {
    ...{ owner: 'casimir', name: 'Kiln yard, second shift', made: 33 },
    entries: [
      ['glaze-pikes', 20],
      ['quenchers', 10, 'Bucket Line'],
      ['firing-master', 1, 'Firing Master'],
      ['crackle-hounds', 6],
      ['slag-ox-riders', 3, 'Ox Riders'],
    ],
  },
  {
    ...{ owner: 'signe', name: 'Both banks, for the summer meeting', made: 6 },
    entries: [
      ['fen-wardens', 20],
      ['heron-riders', 5],
      ['eel-spear-levy', 20, 'Low Farm Spears'],
      ['sump-lamprey', 1, 'sump lampry'],
      ['ember-sweeps', 10],
      ['shard-dancers', 10],
      ['cinder-barge', 1],
      // No unit of the group's is called anything like it, so it stays uncovered until she asks.
      [null, 6, 'Choir at the Weir'],
    ],
  },
]

export function makeRosters(
  { calendar, id }: Making,
  { members, units }: { members: MemberIds; units: Record<UnitKey, string> },
) {
  const made: { rows: Insertable<Tables['roster']>[]; entries: Insertable<Tables['rosterEntry']>[] } = {
    ...{ rows: [], entries: [] },
  }
  for (const { owner, name, made: ago, entries } of rosters) {
    const createdAt = calendar.at(ago, 20.5)
    const rosterId = id(createdAt)
    made.rows.push({ id: rosterId, ownerId: members[owner], name, shared: true, createdAt })
    for (const [index, [unit, models, words]] of entries.entries()) {
      const called = words ?? (unit ? unitOf(unit).name : '')
      const unitId = unit && units[unit]
      made.entries.push({ id: id(createdAt), rosterId, place: index + 1, words: called, unitId, models })
    }
  }
  return made
}
