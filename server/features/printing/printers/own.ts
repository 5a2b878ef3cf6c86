import type { FastifyRequest } from 'fastify'
import { sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { often } from '../../../../db/often.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Machine as Settings } from '../../../planning/printing.ts'
import { machineOnNextPlate } from '../../../scoring/chances.ts'
import type { Draws } from '../../../scoring/draws.ts'
import type { GroupModel } from '../../evidence/queries.ts'
import { filmIn } from './film.ts'
import { asMachine, type Machine, machinesIn, periodColumns } from './machines.ts'
import { lookOf } from './rules.ts'
import type { Look } from './schema.ts'

/** A printer with its settings, as it is now. */
export interface PresentPrinter extends Settings, Machine {
  id: string
  name: string
}

/** A member's printers in use, in the order in which they were added. */
export async function printersInUse(db: Db, { id: ownerId }: Viewer, model: GroupModel): Promise<PresentPrinter[]> {
  const rows = await presentPrinters(db, { ownerId, fit: model.fit })
  return rows.map((row) => present(row, model)).toSorted((one, other) => (one.id < other.id ? -1 : 1))
}

/** Any printer, in use or not. @returns undefined without such a printer */
export async function printerNow(db: Db, id: string, model: GroupModel): Promise<PresentPrinter | undefined> {
  const [row] = await presentPrinters(db, { id, fit: model.fit })
  return row && present(row, model)
}

const presentPrinters = often((_, { id, ownerId, fit }: { id?: string; ownerId?: string; fit: number }) => {
  const present = sql<Settings & { name: string }>`(
    select distinct on (printer.id) ${periodColumns}, printer.name, plate_width_mm, plate_depth_mm, build_height_mm,
      layer_um, exposure_s, bottom_layers, bottom_exposure_s, cycle_overhead_s
    from printer join printer_period on printer_period.printer_id = printer.id
    where ${id === undefined ? sql`owner_id = ${ownerId} and state = 'in use'` : sql`printer.id = ${id}`}
    order by printer.id, starts_on desc nulls last
  )`
  return machinesIn(present, fit)
})

function present({ printerId: id, ...row }: Awaited<ReturnType<typeof presentPrinters>>[number], model: GroupModel) {
  return { id, ...asMachine(row, model) }
}

/** The member's usual printer, else the first of their printers in use. */
export const usualOf = <Printer extends { id: string }>(
  inUse: readonly Printer[],
  { defaultPrinterId }: Viewer,
): Printer | undefined => inUse.find(({ id }) => id === defaultPrinterId) ?? inUse[0]

/** The machine that is to print: a printer as its next plate will find it, or one in good order where no printer is named. */
export const machineOn = (printer: Machine | null | undefined, { group, machineInOrder }: GroupModel): Draws =>
  printer ? machineOnNextPlate(printer.draws, group) : machineInOrder

/** A printer in use as a page warns of it: whether it wants a look before the next plate. */
export const withLook = (request: FastifyRequest, { id, name, ...printer }: PresentPrinter, model: GroupModel) => ({
  id,
  name,
  look: lookOf(filmIn(printer, request.today, model)) satisfies Look,
})
