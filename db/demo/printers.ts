import type { Insertable } from 'kysely'
import type { Tables, UpkeepKind } from '../tables.ts'
import { later, type Making } from './calendar.ts'
import type { MemberIds, MemberKey } from './members.ts'
import { randomFrom } from './random.ts'

/**
 * Chances that a copy does not fail by the machine's fault: at the start of a period, and at its end. A film wears from
 * one plate to the next, so many days ago; otherwise things fade.
 */
type Success = readonly [start: number, end: number, wornFrom?: number]

interface DemoPrinter {
  owner: MemberKey
  name: string
  /** days since it came, or since its owner joined */
  since: number
  retired?: number
  /** Whether its owner usually takes it; told where there are two. */
  usual?: false
  plateMm: readonly [width: number, depth: number]
  buildHeightMm: number
  layerUm?: number
  exposureS: number
  cycleOverheadS: number
  /** How much it prints next to others. */
  busy: number
  /** Hidden: up to the first upkeep. */
  first: Success
  upkeep: readonly DemoUpkeep[]
}

interface DemoUpkeep {
  ago: number
  kind: UpkeepKind
  remark?: string
  /** Hidden: what the machine was like from it to the next upkeep. */
  after: Success
}

const fine: Success = [0.98, 0.96]

export const printers = {
  // The worn film: nothing but a new one helps, and so far only the vat was filtered.
  gannet: {
    ...{ owner: 'casimir', name: 'Gannet', since: 458, plateMm: [155, 90], buildHeightMm: 170, busy: 2.2 },
    ...{ exposureS: 2.4, cycleOverheadS: 6.8, first: [0.9, 0.8] },
    upkeep: [
      { ago: 318, kind: 'film changed', remark: 'First new film. Night and day.', after: [0.98, 0.96] },
      { ago: 214, kind: 'plate levelled', after: [0.97, 0.9] },
      {
        ago: 92,
        kind: 'vat filtered',
        remark: 'Bits of old prints in it. Film looks cloudy, but it will do.',
        after: [0.95, 0.5, 50],
      },
    ],
  },
  'little-ox': {
    ...{
      owner: 'casimir',
      name: 'Little Ox',
      since: 300,
      usual: false,
      plateMm: [130, 80],
      buildHeightMm: 160,
      busy: 0.9,
    },
    ...{ exposureS: 2.2, cycleOverheadS: 7, first: fine },
    upkeep: [{ ago: 120, kind: 'film changed', after: fine }],
  },
  moth: {
    ...{ owner: 'maren', name: 'Moth', since: 465, plateMm: [145, 85], buildHeightMm: 165, busy: 1 },
    ...{ exposureS: 2.5, cycleOverheadS: 6.5, first: [0.96, 0.93] },
    upkeep: [
      { ago: 260, kind: 'film changed', after: fine },
      { ago: 110, kind: 'plate levelled', remark: 'One corner was low after the move.', after: fine },
    ],
  },
  grandfather: {
    ...{
      owner: 'tobiah',
      name: 'Grandfather',
      since: 460,
      plateMm: [120, 68],
      buildHeightMm: 150,
      layerUm: 50,
      busy: 0.8,
    },
    ...{ exposureS: 5.5, cycleOverheadS: 6.5, first: [0.95, 0.9] },
    upkeep: [
      { ago: 290, kind: 'screen replaced', remark: 'Dead line down the middle.', after: fine },
      { ago: 140, kind: 'film changed', after: fine },
      { ago: 30, kind: 'vat filtered', after: fine },
    ],
  },
  'blue-lid': {
    ...{ owner: 'signe', name: 'Blue Lid', since: 430, plateMm: [150, 85], buildHeightMm: 165, busy: 0.9 },
    ...{ exposureS: 2.5, cycleOverheadS: 6.7, first: fine },
    upkeep: [
      { ago: 240, kind: 'film changed', after: fine },
      { ago: 75, kind: 'plate levelled', after: fine },
    ],
  },
  // Worn in the middle of the year, good again after a new film
  turnip: {
    ...{ owner: 'ottoline', name: 'Turnip', since: 448, plateMm: [200, 120], buildHeightMm: 220, busy: 1.6 },
    ...{ exposureS: 2.6, cycleOverheadS: 7, first: [0.95, 0.93] },
    upkeep: [
      { ago: 310, kind: 'plate levelled', after: [0.92, 0.82] },
      { ago: 235, kind: 'vat filtered', after: [0.94, 0.5, 206] },
      { ago: 160, kind: 'film changed', remark: 'Should have done this two months ago.', after: fine },
    ],
  },
  'loud-one': {
    ...{
      owner: 'ottoline',
      name: 'The Loud One',
      since: 380,
      usual: false,
      plateMm: [135, 75],
      buildHeightMm: 155,
      busy: 0.6,
    },
    ...{ exposureS: 2.8, cycleOverheadS: 7.2, first: [0.94, 0.9] },
    upkeep: [{ ago: 190, kind: 'film changed', after: fine }],
  },
  shed: {
    ...{ owner: 'ferrin', name: 'Shed', since: 436, plateMm: [145, 85], buildHeightMm: 165, busy: 1 },
    ...{ exposureS: 3, cycleOverheadS: 6.5, first: [0.93, 0.9] },
    upkeep: [
      { ago: 270, kind: 'other', remark: 'Moved away from the window. It was too cold there.', after: fine },
      { ago: 130, kind: 'film changed', after: fine },
    ],
  },
  sunday: {
    ...{ owner: 'wendel', name: 'Sunday', since: 428, plateMm: [140, 80], buildHeightMm: 160, busy: 0.9 },
    ...{ exposureS: 2.5, cycleOverheadS: 6.6, first: [0.94, 0.9] },
    upkeep: [{ ago: 180, kind: 'vat filtered', after: [0.93, 0.9] }],
  },
  // A plate out of level: half of everything let go until it was seen to
  'wobbly-table': {
    ...{ owner: 'ilka', name: 'Wobbly Table', since: 420, plateMm: [150, 90], buildHeightMm: 170, busy: 1 },
    ...{ exposureS: 2.4, cycleOverheadS: 6.8, first: [0.95, 0.92] },
    upkeep: [
      { ago: 250, kind: 'screen replaced', after: [0.72, 0.66] },
      { ago: 188, kind: 'plate levelled', remark: 'It had been crooked since the new screen. My fault.', after: fine },
      { ago: 66, kind: 'film changed', after: fine },
    ],
  },
  'basement-left': {
    ...{
      owner: 'jorun',
      name: 'Basement Left',
      since: 412,
      retired: 125,
      usual: false,
      plateMm: [115, 65],
      buildHeightMm: 150,
    },
    ...{ exposureS: 2.9, cycleOverheadS: 7, busy: 0.7, first: [0.9, 0.84] },
    upkeep: [{ ago: 280, kind: 'film changed', after: [0.9, 0.8] }],
  },
  'basement-right': {
    ...{ owner: 'jorun', name: 'Basement Right', since: 330, plateMm: [220, 125], buildHeightMm: 230, busy: 1.6 },
    ...{ exposureS: 2.5, cycleOverheadS: 6.8, first: fine },
    upkeep: [
      { ago: 200, kind: 'film changed', after: fine },
      { ago: 85, kind: 'vat filtered', after: fine },
    ],
  },
  // Its third film in a year: prints every day
  pickle: {
    ...{ owner: 'pascoe', name: 'Pickle', since: 398, plateMm: [155, 90], buildHeightMm: 165, busy: 1.6 },
    ...{ exposureS: 2.3, cycleOverheadS: 6.9, first: [0.92, 0.55, 325] },
    upkeep: [
      { ago: 295, kind: 'film changed', remark: 'Half a plate missing three times in a row.', after: [0.98, 0.93] },
      { ago: 150, kind: 'film changed', after: fine },
      { ago: 40, kind: 'film changed', remark: 'Before it goes bad, for once.', after: fine },
    ],
  },
  'north-wall': {
    ...{ owner: 'rufio', name: 'North Wall', since: 205, plateMm: [130, 80], buildHeightMm: 160, busy: 0.8 },
    ...{ exposureS: 2.6, cycleOverheadS: 6.6, first: [0.93, 0.9] },
    upkeep: [{ ago: 100, kind: 'plate levelled', after: fine }],
  },
} as const satisfies Record<string, DemoPrinter>

export type PrinterKey = keyof typeof printers
export const printerKeys = Object.keys(printers) as PrinterKey[]
export const printerOf = (key: PrinterKey): DemoPrinter => printers[key]

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
    const printer = printerOf(key)
    const createdAt = calendar.at(printer.since, 20)
    const ownerId = memberIds[printer.owner]
    const printerId = id(createdAt)
    made.ids[key] = printerId
    made.rows.push({
      ...{ id: printerId, ownerId, name: printer.name, buildHeightMm: printer.buildHeightMm, createdAt },
      ...{ plateWidthMm: printer.plateMm[0], plateDepthMm: printer.plateMm[1], layerUm: printer.layerUm ?? 30 },
      ...{ exposureS: printer.exposureS, cycleOverheadS: printer.cycleOverheadS },
      ...{ bottomLayers: random.whole(4, 7), bottomExposureS: 5 * random.whole(5, 7) },
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
