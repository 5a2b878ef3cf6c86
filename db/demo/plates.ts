import type { Crowding, Seen } from '../tables.ts'
import { type FileKey, fileKeys, fileOf, type MadeFiles, type MadeSet, mayHave } from './files/index.ts'
import { type MemberKey, memberKeys, members } from './members.ts'
import {
  type MadePeriod,
  type MadePrinters,
  type PrinterKey,
  printers as printerData,
  printerKeys,
} from './printers.ts'
import { type Random, randomFrom } from './random.ts'
import { stillOffered } from './requests.ts'
import { units } from './units.ts'

const howMany = 400
const aYear = 364

/** Hidden: chance that a copy does not fail by the plate's fault. */
const plateSuccess: Readonly<Record<Crowding, number>> = { 'half empty': 0.98, 'about full': 0.95, packed: 0.9 }

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

/** Copies of one set as they came out, before anybody wrote of them. */
export interface HappenedPrint {
  set: MadeSet
  tried: number
  good: number
  failures: Map<Seen, number>
}

/** A plate as it happened. */
export interface HappenedPlate {
  member: MemberKey
  printer: PrinterKey
  period: MadePeriod
  ago: number
  crowding: Crowding
  prints: HappenedPrint[]
}

export type Shelves = Record<MemberKey, FileKey[]>

/** The year's plates, the oldest first, and what each member had to print. */
export function happenedPlates(
  files: MadeFiles,
  printers: MadePrinters,
): { plates: HappenedPlate[]; shelves: Shelves } {
  const shelves = Object.fromEntries(memberKeys.map((key) => [key, shelfOf(key)])) as Shelves
  const counts = platesByPrinter()
  const plates = printerKeys.flatMap((printer) => platesOf(printer, counts[printer], shelves, files, printers))
  return { plates: plates.sort((one, other) => other.ago - one.ago), shelves }
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

/** How many of the plates each printer has. */
function platesByPrinter(): Record<PrinterKey, number> {
  const weights = printerKeys.map((key) => {
    const { since, retired = 0, busy } = printerData[key]
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

function platesOf(
  printer: PrinterKey,
  count: number,
  shelves: Shelves,
  files: MadeFiles,
  { periods }: MadePrinters,
): HappenedPlate[] {
  // A stream each, so that a change to one printer leaves the stories of the others alone
  const random = randomFrom(`prints on ${printer}`)
  const others = randomFrom(`beside them on ${printer}`)
  const { owner: member, since, retired = 0 } = printerData[printer]
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
    const habit = members[member].packs ? packing : usual
    const crowding = random.weighted(['half empty', 'about full', 'packed'] as const, (one) => habit[one])
    const place = { member, printer, period, ago, crowding }
    const first = print(set, copiesOnPlate(set.file, printer, crowding, random), place, random)
    return { ...place, prints: [first, ...besides(first, shelves[member], files, place, others)] }
  })
}

/** Now and then there is room for a figure or two of something else. */
function besides(first: HappenedPrint, shelf: FileKey[], files: MadeFiles, place: Place, random: Random) {
  const many = goByTheDozen(first.set.file) && random.happens(0.16) ? (random.happens(0.3) ? 2 : 1) : 0
  const further: HappenedPrint[] = []
  for (let index = 0; index < many; index++) {
    const set = chooseSet(shelf, files.sets, place.ago, random)
    const isThere = [first, ...further].some((one) => one.set.file === set.file)
    if (!isThere && goByTheDozen(set.file)) further.push(print(set, random.whole(1, 3), place, random))
  }
  return further
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
const usual = { 'half empty': 18, 'about full': 56, packed: 26 }
const packing = { 'half empty': 5, 'about full': 25, packed: 70 }

type Place = Omit<HappenedPlate, 'prints'>

function print(set: MadeSet, tried: number, place: Place, random: Random): HappenedPrint {
  const { period, ago, crowding, member } = place
  const chances = [set.success, machineSuccess(period, ago), plateSuccess[crowding]]
  const failures = new Map<Seen, number>()
  let good = 0
  for (let copy = 0; copy < tried; copy++) {
    const failed = [0, 1, 2].filter((stage) => !random.happens(chances[stage] ?? 1))
    if (failed.length === 0) good++
    else {
      const seen = seenOf(random.pick(failed), members[member].unsure, random)
      failures.set(seen, (failures.get(seen) ?? 0) + 1)
    }
  }
  return { set, tried, good, failures }
}

/** The machine's hidden chance on a day: what the period had worn off by then. */
function machineSuccess({ from, to, success: [start, end, wornFrom] }: MadePeriod, ago: number): number {
  if (wornFrom !== undefined) return ago > wornFrom ? start : end
  return start + (end - start) * ((from - ago) / Math.max(1, from - to))
}

function seenOf(cause: number, unsure: number, random: Random): Seen {
  if (random.happens(unsure)) return "don't know"
  return random.weighted(shows, (row) => Number(row[cause + 1]))[0]
}

const onPlate = (file: FileKey) => fileOf(file).about.units.map((unit) => units[unit].onPlate)[0] ?? 'dozen'
const goByTheDozen = (file: FileKey) => onPlate(file) === 'dozen'

/** Small figures go by the dozen, large ones alone. */
function copiesOnPlate(file: FileKey, printer: PrinterKey, crowding: Crowding, random: Random): number {
  const { plateMm } = printerData[printer]
  const [least, most] = {
    dozen: { 'half empty': [2, 4], 'about full': [4, 8], packed: [8, 13] },
    few: { 'half empty': [1, 1], 'about full': [1, 3], packed: [3, 4] },
    one: { 'half empty': [1, 1], 'about full': [1, 1], packed: [2, 2] },
  }[onPlate(file)][crowding] as [number, number]
  const room = plateMm[0] * plateMm[1] > 20_000 ? 1.5 : 1
  return Math.round(random.whole(least, most) * room)
}
