import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import type { Making } from './calendar.ts'
import { keyIn, maybe, story } from './described.ts'
import { fileOf, type MadeFiles } from './files/index.ts'
import { type MemberIds, members as memberData } from './members.ts'
import type { MadeReports } from './reports.ts'
import data from './rosters.json' with { type: 'json' }
import { units as known, type UnitKey } from './units.ts'

/** A unit, or none where the words are of no unit; how many models; as it was pasted, where that is not the unit's name. */
const entry = z.tuple([keyIn(known).nullable(), z.int(), z.string().exactOptional()])
const shape = z.strictObject({
  owner: keyIn(memberData),
  name: z.string(),
  made: z.int().describe('days ago'),
  entries: z.array(entry),
  army: maybe(z.partialRecord(keyIn(known), z.tuple([z.int(), z.int()]))).describe(
    'How many are built, and painted, of units whose earlier prints count here.',
  ),
  story,
})
const rosters = z.array(shape).parse(data)

interface MadeRosters {
  rows: Insertable<Tables['roster']>[]
  entries: Insertable<Tables['rosterEntry']>[]
  prints: Insertable<Tables['rosterPrint']>[]
}

interface Known {
  members: MemberIds
  units: Record<UnitKey, string>
  files: MadeFiles
  reports: MadeReports
}

export function makeRosters({ calendar, id }: Making, { members, units, files, reports }: Known): MadeRosters {
  const made: MadeRosters = { rows: [], entries: [], prints: [] }
  for (const { owner, name, made: ago, entries, army = {} } of rosters) {
    const createdAt = calendar.at(ago, 20.5)
    const rosterId = id(createdAt)
    made.rows.push({ id: rosterId, ownerId: members[owner], name, shared: true, createdAt })
    for (const [index, [unit, models, words]] of entries.entries()) {
      const called = words ?? (unit ? known[unit].name : '')
      const unitId = unit && units[unit]
      const [built, painted] = (unit && army[unit]) || [0, 0]
      const entryId = id(createdAt)
      made.entries.push({ id: entryId, rosterId, place: index + 1, words: called, unitId, models, built, painted })
      if (unit && built > 0) {
        const prints = printsOf(unit, members[owner], models, files, reports)
        made.prints.push(...prints.map((printId) => ({ printId, entryId })))
      }
    }
  }
  return made
}

/** The owner's prints of a unit's files, the newest first, until there are enough models. */
function printsOf(unit: UnitKey, ownerId: string, models: number, files: MadeFiles, { plates, prints }: MadeReports) {
  const sets = new Set(files.sets.filter(({ file }) => fileOf(file).about.units.includes(unit)).map((set) => set.id))
  const own = new Set(plates.filter(({ memberId }) => memberId === ownerId).map((plate) => plate.id))
  let missing = models
  return prints
    .toReversed()
    .filter(({ plateId, supportSetId }) => own.has(plateId) && sets.has(supportSetId))
    .flatMap((print) => {
      if (missing <= 0) return []
      missing -= print.good + (print.mended ?? 0)
      return [print.id]
    })
}
