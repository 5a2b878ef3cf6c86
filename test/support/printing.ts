import type { Person } from './app.ts'
import { aFile, made } from './catalogue.ts'

/*
 * Makers of printers and print reports, each as somebody would: by a call of the REST API. What is not said is invented.
 */

type Over = Record<string, unknown>

let count = 0

/** A printer of the person's. */
export async function aPrinter(person: Person, over: Over = {}): Promise<{ id: string; name: string }> {
  const printer = {
    name: `Attic ${++count}`,
    plateMm: [143, 89],
    buildHeightMm: 175,
    layerUm: 50,
    exposureS: 2.4,
    bottomLayers: 5,
    bottomExposureS: 30,
    cycleOverheadS: 7.5,
  }
  return made(await person.post('/printers', { ...printer, ...over }))
}

/** A resin of the person's: a kilogram of 1.1 g per ml for 35.00, unless `over` says otherwise. */
export async function aResin(person: Person, over: Over = {}): Promise<{ id: string; name: string; version: number }> {
  const resin = { name: `Bottle ${++count}`, price: { amount: '35.00', currency: 'EUR' }, gramsPerMl: 1.1 }
  return made(await person.post('/resins', { ...resin, ...over }))
}

/** A set of supports of a file of its own, by a sculptor of their own unless `over` (a file's fields) says otherwise. */
export async function aPrintable(person: Person, over: Over = {}) {
  const revision = { label: 'first release', supportKinds: ['as supplied'] }
  const file = await aFile(person, { revision, ...over })
  const supportSetId = file.revisions[0]?.supportSets[0]?.id ?? ''
  return { fileId: file.id, title: file.title, revisionId: file.revisions[0]?.id ?? '', supportSetId }
}

/** Upkeep of a printer. */
export async function someUpkeep(person: Person, printerId: string, on: string, kind = 'film changed') {
  return made(await person.post(`/printers/${printerId}/upkeep`, { kind, on }))
}

export interface MadeVerdict {
  file: number
  machine: number
  plate: number
  likely: string | null
  prints: { id: string; file: number; machine: number; plate: number }[]
  counted: boolean
  advice: { code: string; words: string }[]
  wouldTell: string | null
  canTell: boolean
}

export interface MadeReport {
  id: string
  plateId: string
  version: number
  verdict: MadeVerdict
}

interface ReportOver extends Over {
  supportSetId?: string
  printerId?: string
  tried?: number
  failures?: { seen: string; copies: number }[]
}

/** The body of a report: six of six good on a normal plate, unless `over` says otherwise; `good` follows from the rest. */
export function reportBody({ tried = 6, failures = [], ...over }: ReportOver): Over {
  const failed = failures.reduce((sum, { copies }) => sum + copies, 0)
  return { printedOn: '2025-06-01', crowding: 'about full', tried, good: tried - failed, failures, ...over }
}

/** A report of the person's, on a file and a printer of its own unless `over` names them. */
export async function aReport(person: Person, over: ReportOver = {}): Promise<MadeReport> {
  const supportSetId = over.supportSetId ?? (await aPrintable(person)).supportSetId
  const printerId = over.printerId ?? (await aPrinter(person)).id
  return made(await person.post('/reports', reportBody({ ...over, supportSetId, printerId })))
}

export interface MadePlate {
  id: string
  version: number
  told: boolean
  prints: { id: string; tried: number; good: number; supportSet: { id: string } }[]
  verdict: MadeVerdict
}

/** The body of a plate with these prints, each six of six good unless it says otherwise. */
export function plateBody(prints: ReportOver[], over: Over = {}): Over {
  const whole = prints.map((print) => {
    const { printedOn: _on, crowding: _full, ...own } = reportBody(print)
    return own
  })
  return { printedOn: '2025-06-01', crowding: 'about full', prints: whole, ...over }
}

/** A plate of the person's, on a printer of its own unless `over` names it. */
export async function aPlate(person: Person, prints: ReportOver[], over: Over = {}): Promise<MadePlate> {
  const printerId = over.printerId ?? (await aPrinter(person)).id
  return made(await person.post('/plates', plateBody(prints, { ...over, printerId })))
}

/** What the form of a plate sends: its own fields, and those of each print by number. */
export function plateForm(plate: Record<string, string>, ...prints: Record<string, string>[]): Record<string, string> {
  const numbered = prints.flatMap((print, index) =>
    Object.entries(print).map(([name, value]) => [`prints.${index}.${name}`, value] as const),
  )
  return { ...plate, ...Object.fromEntries(numbered) }
}
