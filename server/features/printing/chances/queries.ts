import type { Db } from '../../../../db/connect.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { chancesOf as outlookOf, spread } from '../../../scoring/chances.ts'
import { crowdings } from '../../../scoring/model.ts'
import { fileHead } from '../../catalogue/files/heads.ts'
import { groupModel, type LineSuccess, successOfFiles } from '../../evidence/queries.ts'
import { machineFor } from '../printers/machine.ts'
import type { Chances, ChancesQuery } from './schema.ts'

/**
 * Will it print on mine? The chance that all copies of a file come out good, how many fail on average, and how many to
 * print to have as many good ones: on a printer as it is now or on a machine in good order, and for other ways to fill
 * the plates.
 *
 * @throws Problem 404 without such a file, 422 for a printer that is not there or supports that it has not
 */
export async function chancesOf(db: Db, viewer: Viewer, fileId: string, asked: ChancesQuery): Promise<Chances> {
  await fileHead(db, fileId)
  const model = await groupModel(db)
  const line = lineFor((await successOfFiles(db, [fileId], model)).get(fileId) ?? [], asked.kind)
  const printer = asked.printerId ? await printerCalled(db, asked.printerId) : null
  const machine = await machineFor(db, printer?.id ?? null, model)
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
  return { ...wanted, copies: asked.copies, kind: line.kind, printer, others }
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

async function printerCalled(db: Db, id: string): Promise<{ id: string; name: string }> {
  const printer = await db.selectFrom('printer').select(['id', 'name']).where('id', '=', id).executeTakeFirst()
  if (!printer) throw invalid('/printerId', 'There is no such printer.')
  return printer
}
