import type { Insertable } from 'kysely'
import { z } from 'zod'
import type { Tables } from '../tables.ts'
import { later, type Making } from './calendar.ts'
import { described, keyIn, keysOf, maybe, story } from './described.ts'
import { type MemberIds, members } from './members.ts'
import data from './printers.json' with { type: 'json' }
import { randomFrom } from './random.ts'

const chance = z.number().min(0).max(1)

/**
 * Chances that a copy does not fail by the machine's fault: at the start of a period, and at its end. A film wears from
 * one plate to the next, so many days ago; otherwise things fade.
 */
const success = z.tuple([chance, chance, z.int().exactOptional()])
type Success = z.infer<typeof success>

const shape = z.strictObject({
  owner: keyIn(members),
  name: z.string(),
  since: z.int().describe('days since it came, or since its owner joined'),
  retired: maybe(z.int()).describe('days ago'),
  usual: maybe(z.literal(false)).describe('Whether its owner usually takes it; told where there are two.'),
  plateMm: z.tuple([z.number(), z.number()]),
  buildHeightMm: z.number(),
  layerUm: maybe(z.number()),
  exposureS: z.number(),
  cycleOverheadS: z.number(),
  busy: z.number().describe('How much it prints next to others.'),
  first: success.describe('Hidden: up to the first upkeep.'),
  upkeep: z.array(
    z.strictObject({
      ago: z.int(),
      kind: z.enum(['film changed', 'plate levelled', 'vat filtered', 'screen replaced', 'other']),
      remark: maybe(z.string()),
      after: success.describe('Hidden: what the machine was like from it to the next upkeep.'),
    }),
  ),
  story,
})
type DemoPrinter = z.infer<typeof shape>

export type PrinterKey = keyof typeof data
export const printers = described(shape, data)
export const printerKeys = keysOf(printers)

/** A stretch between two dates of upkeep, in days ago; the day of upkeep belongs to neither. */
export interface MadePeriod {
  id: string
  printer: PrinterKey
  from: number
  to: number
  success: Success
}

export interface MadePrinters {
  rows: Insertable<Tables['printer']>[]
  upkeep: Insertable<Tables['upkeep']>[]
  periodRows: Insertable<Tables['printerPeriod']>[]
  ids: Record<PrinterKey, string>
  periods: MadePeriod[]
  /** which printer each owner usually takes */
  usual: { id: string; ownerId: string }[]
}

export function makePrinters({ calendar, id }: Making, memberIds: MemberIds): MadePrinters {
  const random = randomFrom('printers')
  const ids = {} as Record<PrinterKey, string>
  const made: MadePrinters = { rows: [], upkeep: [], periodRows: [], ids, periods: [], usual: [] }
  for (const key of printerKeys) {
    const printer = printers[key]
    const createdAt = calendar.at(printer.since, 20)
    const ownerId = memberIds[printer.owner]
    const printerId = id(createdAt)
    made.ids[key] = printerId
    made.rows.push({
      id: printerId,
      ownerId,
      name: printer.name,
      buildHeightMm: printer.buildHeightMm,
      createdAt,
      plateWidthMm: printer.plateMm[0],
      plateDepthMm: printer.plateMm[1],
      layerUm: printer.layerUm ?? 30,
      exposureS: printer.exposureS,
      cycleOverheadS: printer.cycleOverheadS,
      bottomLayers: random.whole(4, 7),
      bottomExposureS: 5 * random.whole(5, 7),
      ...(printer.retired === undefined ? {} : { state: 'retired' as const, version: 2 }),
    })
    if (printer.usual !== false) made.usual.push({ id: printerId, ownerId })
    for (const { ago, kind, remark = '' } of printer.upkeep) {
      const doneAt = later(calendar.at(ago, 17), random.whole(0, 240))
      const row = { printerId, kind, doneOn: calendar.day(ago), remark, createdBy: ownerId, createdAt: doneAt }
      made.upkeep.push({ id: id(doneAt), ...row })
    }
    for (const [index, period] of periodsOf(printer).entries()) {
      const periodId = id(index === 0 ? createdAt : calendar.at(period.from, 21))
      made.periodRows.push({ id: periodId, printerId, startsOn: index === 0 ? null : calendar.day(period.from) })
      made.periods.push({ id: periodId, printer: key, ...period })
    }
  }
  return made
}

function periodsOf({ since, first, retired = 0, upkeep }: DemoPrinter) {
  const starts = [{ ago: since, after: first }, ...upkeep]
  return starts.map(({ ago, after }, index) => ({ from: ago, to: starts[index + 1]?.ago ?? retired, success: after }))
}
