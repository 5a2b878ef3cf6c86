import type { Insertable } from 'kysely'
import type { Tables } from '../tables.ts'
import { type Calendar, later, type Making } from './calendar.ts'
import type { FileKey, MadeFiles } from './files/index.ts'
import { type MemberIds, type MemberKey, memberKeys, members } from './members.ts'
import { type HappenedPlate, type HappenedPrint, happenedPlates, type Shelves } from './plates.ts'
import type { MadePrinters } from './printers.ts'
import { dealer, type Random, randomFrom } from './random.ts'
import remarks from './remarks.json' with { type: 'json' }

export interface MadeReports {
  plates: Insertable<Tables['plate']>[]
  prints: Insertable<Tables['print']>[]
  failures: Insertable<Tables['printFailure']>[]
  archive: Insertable<Tables['archive']>[]
}

export function makeReports(
  making: Making,
  files: MadeFiles,
  printers: MadePrinters,
  memberIds: MemberIds,
): MadeReports {
  const { plates, shelves } = happenedPlates(files, printers)
  const rows = written(making, plates, printers, memberIds)
  rows.plates.push(stillWet(making, printers, memberIds))
  return { ...rows, archive: archives(making, plates, shelves, files, memberIds) }
}

function written(
  { calendar, id }: Making,
  plates: readonly HappenedPlate[],
  printers: MadePrinters,
  memberIds: MemberIds,
) {
  const random = randomFrom('remarks')
  const remarkOf = writer(random)
  const mending = randomFrom('mending')
  const rows: Omit<MadeReports, 'archive'> = { plates: [], prints: [], failures: [] }
  for (const { one, createdAt } of dated(plates, calendar, random)) {
    const plateId = id(createdAt)
    rows.plates.push({
      id: plateId,
      memberId: memberIds[one.member],
      printerId: printers.ids[one.printer],
      printerPeriodId: one.period.id,
      printedOn: calendar.day(one.ago),
      crowding: one.crowding,
      remark: remarkOf(one),
      createdAt,
    })
    for (const print of one.prints) {
      const { set, tried, good, failures } = print
      const printId = id(createdAt)
      rows.prints.push({ id: printId, plateId, supportSetId: set.id, tried, good, ...mended(print, mending) })
      for (const [seen, copies] of failures) rows.failures.push({ printId, seen, copies })
    }
  }
  return rows
}

/** Of what broke late some can be glued or filled; not everybody looks at the clock. */
function mended({ failures }: HappenedPrint, random: Random) {
  const whole = (failures.get('layers pulled apart') ?? 0) + (failures.get('soft detail') ?? 0)
  const worthIt = whole + (failures.get('part had no support') ?? 0)
  if (worthIt === 0 || !random.happens(0.3)) return {}
  const copies = random.whole(1, worthIt)
  return { mended: copies, mendedMinutes: random.happens(0.6) ? copies * random.whole(5, 20) : null }
}

/** Casimir's plate of last night failed. He noted that with gloves on, and no more yet. */
function stillWet({ calendar, id }: Making, printers: MadePrinters, memberIds: MemberIds): Insertable<Tables['plate']> {
  const period = printers.periods.findLast(({ printer }) => printer === 'little-ox')
  if (!period) throw new RangeError('there is no such printer')
  const createdAt = calendar.at(1, 22.5)
  return {
    id: id(createdAt),
    memberId: memberIds.casimir,
    printerId: printers.ids['little-ox'],
    createdAt,
    told: false,
    printerPeriodId: period.id,
    printedOn: calendar.day(1),
    crowding: 'about full' as const,
  }
}

/** Most write the same evening, some the next morning; in the order of writing. */
function dated(plates: readonly HappenedPlate[], calendar: Calendar, random: Random) {
  const written = plates.map((one) => {
    const nextMorning = one.ago > 1 && random.happens(0.25)
    const createdAt = later(
      calendar.at(nextMorning ? one.ago - 1 : one.ago, nextMorning ? 7 : 18),
      random.whole(0, 240),
    )
    return { one, createdAt }
  })
  return written.sort((one, other) => one.createdAt.getTime() - other.createdAt.getTime())
}

/** About half of the reports come with a remark. */
function writer(random: Random): (one: HappenedPlate) => string {
  const good = dealer(remarks.allGood, random)
  const other = dealer(remarks.anyway, random)
  const bySeen = new Map(Object.entries(remarks.bySeen).map(([seen, some]) => [seen, dealer(some, random)]))
  return ({ prints }) => {
    if (random.happens(0.5)) return ''
    if (random.happens(0.08)) return other()
    const [most] = prints.flatMap(({ failures }) => [...failures]).sort(([, one], [, another]) => another - one)
    return most ? (bySeen.get(most[0])?.() ?? '') : good()
  }
}

/** What members have: their shelves, since the week before they first printed a file. */
function archives(
  { calendar }: Making,
  plates: readonly HappenedPlate[],
  shelves: Shelves,
  files: MadeFiles,
  memberIds: MemberIds,
): Insertable<Tables['archive']>[] {
  const random = randomFrom('archives')
  // In her archive though offered to her: more goose than heron, but she has it
  const also: Partial<Record<MemberKey, FileKey[]>> = { signe: ['wading-knights'] }
  return memberKeys.flatMap((member) =>
    [...shelves[member], ...(also[member] ?? [])].map((file) => {
      const isOf = (one: HappenedPlate) => one.member === member && one.prints.some(({ set }) => set.file === file)
      const first = plates.find(isOf)
      const known = Math.min(files.ago[file], members[member].joined - 1)
      const ago = first ? Math.min(known, first.ago + random.whole(1, 7)) : random.whole(1, known)
      return {
        memberId: memberIds[member],
        fileId: files.ids[file],
        createdAt: later(calendar.at(ago, 9), random.whole(0, 600)),
      }
    }),
  )
}
