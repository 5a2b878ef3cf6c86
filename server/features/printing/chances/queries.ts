import type { Db } from '../../../../db/connect.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { chancesOf as outlookOf, spread } from '../../../scoring/chances.ts'
import { crowdings } from '../../../scoring/model.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { type GroupModel, groupModel, type LineSuccess, successOfFiles } from '../../evidence/queries.ts'
import { machineOn, type PresentPrinter, printerNow } from '../printers/own.ts'
import type { Chances, ChancesQuery } from './schema.ts'

/** What the chances of a file are worked out from; a page has read it for itself. */
export interface ChanceFacts {
  model: GroupModel
  /** of the file, one for each kind of supports */
  lines: readonly LineSuccess[]
  /** printers that may be asked about, as far as they are read already */
  printers: readonly PresentPrinter[]
}

/** The facts of a file that nothing is read of yet. @throws Problem 404 without such a file */
export async function chanceFacts(db: Db, fileId: string): Promise<ChanceFacts> {
  await fileHead(db, fileId)
  const model = await groupModel(db)
  return { model, lines: (await successOfFiles(db, [fileId], model)).get(fileId) ?? [], printers: [] }
}

/**
 * Will it print on mine? The chance that all copies of a file come out good, how many fail on average, and how many to
 * print to have as many good ones: on a printer as it is now or on a machine in good order, and for other ways to fill
 * the plates.
 *
 * @throws Problem 422 for a printer that is not there or supports that the file has not
 */
export async function chancesOf(
  db: Db,
  viewer: Viewer,
  { model, lines, printers }: ChanceFacts,
  asked: ChancesQuery,
): Promise<Chances> {
  const line = lineFor(lines, asked.kind)
  const known = printers.find(({ id }) => id === asked.printerId)
  const printer = asked.printerId ? (known ?? (await printerCalled(db, asked.printerId, model))) : null
  const machine = machineOn(printer, model)
  const outlook = (plates: number, crowding: Chances['crowding']) => {
    const perPlate = spread(asked.copies, plates)
    return {
      crowding,
      plates,
      perPlate,
      ...outlookOf({ file: line.draws, machine, group: model.group, crowding }, perPlate),
    }
  }
  const others = platesToCompare(asked).flatMap((plates) => crowdings.map((crowding) => outlook(plates, crowding)))
  const wanted = outlook(asked.plates, asked.crowding ?? viewer.defaultCrowding)
  const on = printer && { id: printer.id, name: printer.name }
  return { ...wanted, copies: asked.copies, kind: line.kind, printer: on, others }
}

/** On one, two and three plates, as far as there are copies, and on as many as was asked. */
function platesToCompare({ copies, plates }: ChancesQuery): number[] {
  return [...new Set([1, 2, 3, plates])].filter((number) => number <= copies).toSorted((one, other) => one - other)
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
