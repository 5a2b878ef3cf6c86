import type { Db } from '../../../../db/connect.ts'
import { machineOnNextPlate } from '../../../scoring/chances.ts'
import type { Draws } from '../../../scoring/draws.ts'
import { type GroupModel, machineOf } from '../../evidence/queries.ts'

/** The machine that is to print: a printer as its next plate will meet it, or for nobody's in particular one in order. */
export async function machineFor(db: Db, printerId: string | null, model: GroupModel): Promise<Draws> {
  if (printerId === null) return model.machineInOrder
  const { draws } = await machineOf(db, printerId, model)
  return machineOnNextPlate(draws, model.group)
}
