import type { Insertable } from 'kysely'
import type { Crowding, Seen, Tables } from '../tables.ts'
import { type Calendar, later, type Making } from './calendar.ts'
import { type FileKey, fileKeys, fileOf, type MadeFiles, type MadeSet, mayHave } from './files/index.ts'
import { type MemberIds, type MemberKey, memberKeys, memberOf, members } from './members.ts'
import {
  type MadePeriod,
  type MadePrinters,
  machineSuccess,
  type PrinterKey,
  printerKeys,
  printerOf,
} from './printers.ts'
import { dealer, type Random, randomFrom } from './random.ts'
import { allGood, anyway, remarksBySeen } from './remarks.ts'
import { stillOffered } from './requests.ts'

const howMany = 400
const aYear = 364

/** Hidden: chance that a copy does not fail by the plate's fault. */
const plateSuccess: Readonly<Record<Crowding, number>> = { loose: 0.98, normal: 0.95, packed: 0.9 }

/**
 * How likely a cause shows itself as what: file, machine, plate. A copy of the table that the scoring assumes
 * (seenLabels in server/scoring/labels.ts), since the demo is drawn from that very model; `db` imports nothing of
 * `server`. "Don't know" is not drawn from it but from how sure the member is.
 */
export const shows: readonly (readonly [seen: Seen, file: number, machine: number, plate: number])[] = [
  ['supports snapped', 0.4, 0.12, 0.25],
  ['part had no support', 0.38, 0.01, 0.02],
  ['nothing stuck to the plate', 0.03, 0.34, 0.1],
  ['one side of the plate only', 0.01, 0.25, 0.1],
  ['stuck to the film', 0.05, 0.2, 0.28],
  ['layers pulled apart', 0.09, 0.05, 0.22],
  ['soft detail', 0.04, 0.03, 0.03],
]

export interface MadeReports {
  rows: Insertable<Tables['report']>[]
  failures: Insertable<Tables['reportFailure']>[]
  archive: Insertable<Tables['archive']>[]
}

/** One print as it happened, before anybody wrote of it. */
interface Print {
  member: MemberKey
  printer: PrinterKey
  period: MadePeriod
  set: MadeSet
  ago: number
  tried: number
  good: number
  crowding: Crowding
  failures: Map<Seen, number>
}

export function makeReports(
  making: Making,
  files: MadeFiles,
  printers: MadePrinters,
  memberIds: MemberIds,
): MadeReports {
  const shelves = Object.fromEntries(memberKeys.map((key) => [key, shelfOf(key)])) as Record<MemberKey, FileKey[]>
  const counts = reportsByPrinter()
  const prints = printerKeys.flatMap((printer) => printsOf(printer, counts[printer], shelves, files, printers))
  prints.sort((one, other) => other.ago - one.ago)
  return {
    ...written(making, prints, printers, memberIds),
    archive: archives(making, prints, shelves, files, memberIds),
  }
}

/** The files that a member has; those that are printed most are on every shelf. */
function shelfOf(member: MemberKey): FileKey[] {
  const random = randomFrom(`shelf of ${member}`)
  const offered = stillOffered(member)
  return fileKeys.filter((key) => {
    const { printed = 1, heldBy } = fileOf(key)
    const wanted = random.happens(0.4 * printed)
    if (printed === 0 || !mayHave(member, key) || offered.has(key)) return false
    return heldBy !== undefined || wanted
  })
}

/** How many of the reports each printer has. */
function reportsByPrinter(): Record<PrinterKey, number> {
  const weights = printerKeys.map((key) => {
    const { since, retired = 0, busy } = printerOf(key)
    return busy * (Math.min(since, aYear) - retired)
  })
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  let before = 0
  const counts = weights.map((weight) => {
    const from = Math.round((howMany * before) / total)
    before += weight
    return Math.round((howMany * before) / total) - from
  })
  return Object.fromEntries(printerKeys.map((key, index) => [key, counts[index] ?? 0])) as Record<PrinterKey, number>
}

function printsOf(
  printer: PrinterKey,
  count: number,
  shelves: Record<MemberKey, FileKey[]>,
  files: MadeFiles,
  { periods }: MadePrinters,
): Print[] {
  // A stream each, so that a change to one printer leaves the stories of the others alone
  const random = randomFrom(`prints on ${printer}`)
  const { owner: member, since, retired = 0 } = printerOf(printer)
  const own = periods.filter((period) => period.printer === printer)
  const from = Math.min(since - 1, aYear)
  const to = retired + 1
  return Array.from({ length: count }, (_, index) => {
    // Evenly over the year, with a day or more to and fro
    let ago = Math.round(from - ((index + random.next()) / count) * (from - to))
    while (own.some((period) => period.from === ago)) ago++ // prints nothing on a day of upkeep
    const period = own.find((one) => one.from > ago && ago >= one.to)
    if (!period) throw new RangeError(`${printer} has no period ${ago} days ago`)
    const set = chooseSet(shelves[member], files.sets, ago, random)
    return { member, printer, period, set, ago, ...print(set, printer, period, ago, random) }
  })
}

/** Mostly the newest revision of what one likes to print; some never fetch it anew. */
function chooseSet(shelf: readonly FileKey[], sets: readonly MadeSet[], ago: number, random: Random): MadeSet {
  const known = sets.filter((set) => set.ago > ago && shelf.includes(set.file))
  const newest = new Map<FileKey, number>()
  for (const { file, revision } of known) newest.set(file, Math.max(revision, newest.get(file) ?? 0))
  const ofKind = { 'as supplied': 1, 'extra supports': 0.6, 'own supports': 0.5 }
  return random.weighted(known, ({ file, revision, kind }) => {
    const current = revision === newest.get(file) ? 1 : 0.12
    return (fileOf(file).printed ?? 1) * ofKind[kind] * current
  })
}

/** How members fill their plates. */
const usual = { loose: 18, normal: 56, packed: 26 }
const packing = { loose: 5, normal: 25, packed: 70 }

function print(set: MadeSet, printer: PrinterKey, period: MadePeriod, ago: number, random: Random) {
  const habit = memberOf(printerOf(printer).owner).packs ? packing : usual
  const crowding = random.weighted(['loose', 'normal', 'packed'] as const, (one) => habit[one])
  const tried = copiesOnPlate(set.file, printer, crowding, random)
  const chances = [set.success, machineSuccess(period, ago), plateSuccess[crowding]]
  const failures = new Map<Seen, number>()
  let good = 0
  for (let copy = 0; copy < tried; copy++) {
    const failed = [0, 1, 2].filter((stage) => !random.happens(chances[stage] ?? 1))
    if (failed.length === 0) good++
    else {
      const seen = seenOf(random.pick(failed), members[printerOf(printer).owner].unsure, random)
      failures.set(seen, (failures.get(seen) ?? 0) + 1)
    }
  }
  return { crowding, tried, good, failures }
}

function seenOf(cause: number, unsure: number, random: Random): Seen {
  if (random.happens(unsure)) return "don't know"
  return random.weighted(shows, (row) => Number(row[cause + 1]))[0]
}

/** Small figures go by the dozen, large ones alone. */
function copiesOnPlate(file: FileKey, printer: PrinterKey, crowding: Crowding, random: Random): number {
  const { resinMl } = fileOf(file).model
  const { plateMm } = printerOf(printer)
  const size = resinMl < 20 ? 'small' : resinMl < 50 ? 'middle' : 'large'
  const [least, most] = {
    small: { loose: [2, 4], normal: [4, 8], packed: [8, 13] },
    middle: { loose: [1, 1], normal: [1, 3], packed: [3, 4] },
    large: { loose: [1, 1], normal: [1, 1], packed: [2, 2] },
  }[size][crowding] as [number, number]
  const room = plateMm[0] * plateMm[1] > 20_000 ? 1.5 : 1
  return Math.round(random.whole(least, most) * room)
}

function written({ calendar, id }: Making, prints: readonly Print[], printers: MadePrinters, memberIds: MemberIds) {
  const random = randomFrom('remarks')
  const remarkOf = writer(random)
  const rows: Insertable<Tables['report']>[] = []
  const failures: Insertable<Tables['reportFailure']>[] = []
  for (const { one, createdAt } of dated(prints, calendar, random)) {
    const reportId = id(createdAt)
    rows.push({
      ...{
        id: reportId,
        memberId: memberIds[one.member],
        supportSetId: one.set.id,
        printerId: printers.ids[one.printer],
      },
      ...{ printerPeriodId: one.period.id, printedOn: calendar.day(one.ago), tried: one.tried, good: one.good },
      ...{ crowding: one.crowding, remark: remarkOf(one), createdAt },
    })
    for (const [seen, copies] of one.failures) failures.push({ reportId, seen, copies })
  }
  return { rows, failures }
}

/** Most write the same evening, some the next morning; in the order of writing. */
function dated(prints: readonly Print[], calendar: Calendar, random: Random) {
  const written = prints.map((one) => {
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
function writer(random: Random): (one: Print) => string {
  const good = dealer(allGood, random)
  const other = dealer(anyway, random)
  const bySeen = new Map(Object.entries(remarksBySeen).map(([seen, remarks]) => [seen, dealer(remarks, random)]))
  return ({ failures }) => {
    if (random.happens(0.5)) return ''
    if (random.happens(0.08)) return other()
    const [most] = [...failures].sort(([, one], [, another]) => another - one)
    return most ? (bySeen.get(most[0])?.() ?? '') : good()
  }
}

/** What members have: their shelves, since the week before they first printed a file. */
function archives(
  { calendar }: Making,
  prints: readonly Print[],
  shelves: Record<MemberKey, FileKey[]>,
  files: MadeFiles,
  memberIds: MemberIds,
): Insertable<Tables['archive']>[] {
  const random = randomFrom('archives')
  // In her archive though offered to her: more goose than heron, but she has it
  const also: Partial<Record<MemberKey, FileKey[]>> = { signe: ['wading-knights'] }
  return memberKeys.flatMap((member) =>
    [...shelves[member], ...(also[member] ?? [])].map((file) => {
      const first = prints.find((one) => one.member === member && one.set.file === file)
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
