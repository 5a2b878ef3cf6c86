import type { Db } from '../../../../db/connect.ts'
import { fromMinor } from '../../../http/money.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { type Foot, footOf, type MeasuredFoot, usualFoot } from '../../../planning/plate.ts'
import { type Base, layersOf, plateHours, type Machine as Settings, usualMachine } from '../../../planning/printing.ts'
import { chancesOf as outlookOf, type Stages, spread } from '../../../scoring/chances.ts'
import { expectedCost } from '../../../scoring/cost.ts'
import type { Crowding } from '../../../scoring/model.ts'
import { oncePerRow } from '../../../scoring/once.ts'
import { writtenFile } from '../../catalogue/files/queries.ts'
import { type GroupModel, groupModel, type LineSuccess, successOfFiles } from '../../evidence/queries.ts'
import { copiesFitting, filledAlike } from '../plates/packing.ts'
import { machineOn, type PresentPrinter, printerNow } from '../printers/own.ts'
import { ratesOf } from '../resins/rules.ts'
import { costInput } from './cost.ts'
import type { Chances, ChancesQuery } from './schema.ts'

/** A file as far as a plate of it can be worked out. */
interface Sheet {
  /** what a copy covers */
  foot: Foot
  /** nobody knows its base: a foot model's is taken */
  assumed: boolean
  heightMm: number | null
  resinMl: number | null
  /** of its open snags */
  minutes: number
}

interface Known {
  base: Base | null
  footPrint: MeasuredFoot | null
  heightMm: number | null
  resinMl: number | null
  snags: readonly { state: string; minutes: number | null }[]
}

/** By what was measured of it, else by the base, as the ranking has it. */
export function sheetOf({ base, footPrint, heightMm, resinMl, snags }: Known): Sheet {
  const foot = footOf(footPrint, base)
  const open = snags.filter(({ state }) => state !== 'mended')
  return {
    foot: foot ?? usualFoot,
    assumed: foot === null,
    heightMm,
    resinMl,
    minutes: open.reduce((sum, snag) => sum + (snag.minutes ?? 0), 0),
  }
}

/** What the chances of a file are worked out from; a page has read it for itself. */
export interface ChanceFacts {
  model: GroupModel
  /** of the file, one for each kind of supports */
  lines: readonly LineSuccess[]
  sheet: Sheet
  /** printers that may be asked about, as far as they are read already */
  printers: readonly PresentPrinter[]
}

/** The facts of a file that nothing is read of yet. @throws Problem 404 without such a file */
export async function chanceFacts(db: Db, viewer: Viewer, fileId: string): Promise<ChanceFacts> {
  const sheet = sheetOf(await writtenFile(db, viewer, fileId))
  const model = await groupModel(db)
  return { model, sheet, lines: (await successOfFiles(db, [fileId], model)).get(fileId) ?? [], printers: [] }
}

/**
 * Will it print on mine? The chance that all copies of a file come out good, how many fail on average, how many to print
 * to have as many good ones, and what it costs: on a printer as it is now or on a machine in good order, and on more plates
 * or fewer.
 *
 * @throws Problem 422 for a printer that is not there or supports that the file has not
 */
export async function chancesOf(
  db: Db,
  viewer: Viewer,
  { model, lines, sheet, printers }: ChanceFacts,
  asked: ChancesQuery,
): Promise<Chances> {
  const line = lineFor(lines, asked.kind)
  const known = printers.find(({ id }) => id === asked.printerId)
  const printer = asked.printerId ? (known ?? (await printerCalled(db, asked.printerId, model))) : null
  const settings = printer ?? usualMachine
  const stages = { file: line.draws, machine: machineOn(printer, model), group: model.group }
  const on = { asked, sheet, settings, stages, viewer }
  const wanted = outlook(on, asked.plates, asked.crowding)
  const others = platesToCompare(on).map((plates) => (plates === asked.plates ? wanted : outlook(on, plates)))
  return {
    ...wanted,
    copies: asked.copies,
    kind: line.kind,
    printer: printer && { id: printer.id, name: printer.name },
    plateMm: [settings.plateWidthMm, settings.plateDepthMm],
    assumed: sheet.assumed,
    others,
  }
}

interface On {
  asked: ChancesQuery
  sheet: Sheet
  settings: Settings
  stages: Omit<Stages, 'crowding'>
  viewer: Viewer
}

/** @param said how full the plates are; worked out where nobody says */
function outlook({ asked: { copies }, sheet, settings, stages, viewer }: On, plates: number, said?: Crowding) {
  const perPlate = spread(copies, plates)
  const onPlate = perPlate[0] ?? 1
  const filled = filledAlike(sheet.foot, onPlate, settings)
  const crowding = said ?? filled?.crowding ?? 'packed'
  const all = { ...stages, crowding }
  const rates = { ...viewer.group, ...ratesOf(viewer.resin, viewer.group) }
  const { heightMm, minutes, resinMl } = sheet
  const resinMlPerCopy = resinMl ?? rates.resinMlPerModel
  const input = costInput({ wanted: copies, resinMlPerCopy, minutes, onPlate }, all, rates)
  const cost = expectedCost(input)
  const resin = copies * resinMlPerCopy
  const tooHigh = heightMm !== null && heightMm > settings.buildHeightMm
  return {
    crowding,
    workedOut: said === undefined,
    plates,
    perPlate,
    ...outlooks([input.success, perPlate.join(' ')], () => outlookOf(all, perPlate)),
    layers: heightMm === null ? null : layersOf(heightMm, settings),
    hours: heightMm === null ? null : perPlate.length * plateHours(heightMm, settings),
    resinMl: resin,
    resinG: resin * rates.resinGramsPerMl,
    cost: fromMinor(cost.costToTableMinor, viewer.group.currency),
    packed: tooHigh ? null : (filled?.places ?? null),
  }
}

/** By the draws of success, which are the same row for the same stages, and the plates. */
const outlooks = oncePerRow<ReturnType<typeof outlookOf>>()

/** On as few plates as take them, one and two more, and on as many as was asked. */
function platesToCompare({ asked: { copies, plates }, sheet, settings }: On): number[] {
  const most = Math.max(1, copiesFitting(settings, 'packed')(sheet.foot))
  const fewest = Math.ceil(copies / most)
  return [...new Set([fewest, fewest + 1, fewest + 2, plates])]
    .filter((number) => number <= copies)
    .toSorted((one, other) => one - other)
}

function lineFor(lines: readonly LineSuccess[], kind: LineSuccess['kind'] | undefined): LineSuccess {
  const best = lines.toSorted((one, other) => other.mean - one.mean)[0]
  const line = kind ? lines.find((one) => one.kind === kind) : best
  if (!line) throw invalid('/kind', 'The file has no such supports.')
  return line
}

async function printerCalled(db: Db, id: string, model: GroupModel): Promise<PresentPrinter> {
  const printer = await printerNow(db, id, model)
  if (!printer) throw invalid('/printerId', 'There is no such printer.')
  return printer
}
