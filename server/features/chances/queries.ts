import type { Db } from '../../../db/connect.ts'
import { invalid } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { outlookOfPlates, spread } from '../../scoring/all-good.ts'
import { mean, type Shape } from '../../scoring/beta.ts'
import { crowdings } from '../../scoring/priors.ts'
import { type LineSuccess, machineShape, modelOf, successOfFiles } from '../evidence/queries.ts'
import { fileHead } from '../files/heads.ts'
import type { Chances, ChancesQuery } from './schema.ts'

/**
 * Will it print on mine? The chance that all copies of a file come out good, and how many fail on average: on one printer,
 * or on a machine in good order, and for other ways to fill the plates.
 *
 * @throws Problem 404 without such a file, 422 for a printer that is not there or supports that it has not
 */
export async function chancesOf(db: Db, viewer: Viewer, fileId: string, asked: ChancesQuery): Promise<Chances> {
  await fileHead(db, fileId)
  const line = lineFor((await successOfFiles(db, [fileId])).get(fileId) ?? [], asked.kind)
  const printer = asked.printerId ? await printerCalled(db, asked.printerId) : null
  const { plates: plateShapes, goodMachine } = await modelOf(db)
  const machine = printer ? await machineShape(db, printer.id) : goodMachine
  const outlook = (plates: number, crowding: Chances['crowding']) => {
    const shapes: Shape[] = [line.shape, machine, plateShapes[crowding]]
    const perPlate = spread(asked.copies, plates)
    return { crowding, plates, perPlate, ...outlookOfPlates(perPlate, shapes) }
  }
  const others = platesToCompare(asked).flatMap((plates) => crowdings.map((crowding) => outlook(plates, crowding)))
  const wanted = outlook(asked.plates, asked.crowding ?? viewer.defaultCrowding)
  return { ...wanted, copies: asked.copies, kind: line.kind, printer, others }
}

/** On one, two and three plates, as far as there are copies, and on as many as was asked. */
function platesToCompare({ copies, plates }: ChancesQuery): number[] {
  return [...new Set([1, 2, 3, plates])].filter((number) => number <= copies).toSorted((one, other) => one - other)
}

function lineFor(lines: readonly LineSuccess[], kind: LineSuccess['kind'] | undefined): LineSuccess {
  const best = lines.toSorted((one, other) => mean(other.shape) - mean(one.shape))[0]
  const line = kind ? lines.find((one) => one.kind === kind) : best
  if (!line) throw invalid('/kind', 'The file has no such supports.')
  return line
}

async function printerCalled(db: Db, id: string): Promise<{ id: string; name: string }> {
  const printer = await db.selectFrom('printer').select(['id', 'name']).where('id', '=', id).executeTakeFirst()
  if (!printer) throw invalid('/printerId', 'There is no such printer.')
  return printer
}
