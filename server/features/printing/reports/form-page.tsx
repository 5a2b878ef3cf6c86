import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Db } from '../../../../db/connect.ts'
import type { Crowding } from '../../../../db/tables.ts'
import { EditPlate, toldRoom } from '../../../../web/pages/EditPlate.tsx'
import { figureOf } from '../../../../web/pages/Files.tsx'
import type { FormState, Values } from '../../../../web/parts/form.tsx'
import { scaleFor } from '../../../../web/parts/shadow.tsx'
import { id as anId } from '../../../http/fields.ts'
import { madeFrom, once, page } from '../../../http/page.tsx'
import { invalid, notFound, pointer } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { seen as seenKinds, unknown } from '../../../scoring/labels.ts'
import { filesById, listFiles } from '../../catalogue/files/queries.ts'
import type { File } from '../../catalogue/files/schema.ts'
import { thinned } from '../../catalogue/measures/drawn.ts'
import { feetOf } from '../plates/crowding.ts'
import { wrongPrints } from '../plates/rules.ts'
import type { ChangedPrint, Plate } from '../plates/schema.ts'
import { usualOf } from '../printers/own.ts'
import { resinsToChoose } from '../resins/queries.ts'
import { likelyFiles, printersToChoose } from './choices.ts'
import { entriesOfFiles } from './counting.ts'
import { fillingOf } from './filling.ts'
import { listReports } from './queries.ts'
import { printsIn, withPrints } from './schema.ts'
import { supportChoices, supportSetsFor } from './supports.ts'

/** "don't know" is what the others leave over. */
const seenToAsk = seenKinds.filter((kind) => kind !== unknown)

/** The form of a plate that is told, or of one that is there. */
export async function platePage(reply: FastifyReply, sent: FormState, plate?: Plate) {
  const { db, member } = reply.request
  const prints = await shownPrints(db, member, sent.values, !plate)
  const printers = await printersToChoose(db, member, plate?.printer.id)
  const files = prints.map(({ file }) => file)
  const fileIds = files.map(({ id }) => id)
  const feet = await feetOf(db, fileIds)
  const known = fileIds.map((id) => feet.get(id) ?? null)
  const crowding = fillingOf(known, printers)
  const form = crowding.isKnown ? sent : saidByMember(sent, plate?.told ? plate.crowding : member.defaultCrowding)
  const props = {
    form,
    crowding,
    prints,
    isNew: !plate,
    isWet: plate?.told === false,
    seen: seenToAsk,
    action: plate ? `/plates/${plate.id}/edit` : '/reports/new',
    hidden: plate ? madeFrom(plate.version) : once(),
    printers,
    resins: await resinsToChoose(db, member, plate?.resin?.id),
    usualResin: member.resin?.name ?? null,
    further: await furtherFiles(db, member, sent.values, prints),
  }
  const titles = files.map(({ title }) => title)
  return page(reply, { title: titleOf(titles, plate), children: <EditPlate {...props} /> })
}

/** Where it can't be worked out, what they usually do is chosen; unless they were asked just now. */
function saidByMember({ values, errors }: FormState, usual: Crowding): FormState {
  return { errors, values: values.crowding || errors.crowding ? values : { ...values, crowding: usual } }
}

function titleOf([first, ...others]: string[], plate?: Plate): string {
  const what = first && others.length === 0 ? first : 'the plate'
  if (plate) return plate.told ? `Change the report: ${what}` : `Report in full: the plate on ${plate.printer.name}`
  return others.length === 0 ? `How did it come out: ${what}` : 'How did the plate come out'
}

/** @param isNew then they may count for entries of the viewer's rosters; later the plate's own page asks */
async function shownPrints(db: Db, viewer: Viewer, values: Values, isNew: boolean) {
  const prints = printsIn(values)
  const fileIds = [...new Set(prints.map(fileIdIn))]
  const files = await filesById(db, viewer, fileIds)
  const choices = await supportChoices(db, viewer, fileIds)
  const entries = isNew ? await entriesOfFiles(db, viewer, fileIds) : []
  const last = new Map<string, string>()
  if (isNew) for (const fileId of fileIds) last.set(fileId, await lastTried(db, viewer, fileId))
  return prints.map((print) => {
    const file = files.find(({ id }) => id === fileIdIn(print))
    if (!file) throw notFound('file')
    const id = anId.safeParse(print.id).data
    return {
      id,
      file: { id: file.id, title: file.title, figure: besideForm(file) },
      supports: choices.get(file.id) ?? [],
      entries: entries.filter((entry) => entry.fileId === file.id),
      asLastTime: print.tried === last.get(file.id) ? last.get(file.id) : undefined,
    }
  })
}

/** What is told of, as it is drawn beside the form. */
function besideForm(file: File) {
  const figure = figureOf(file)
  return thinned(figure, scaleFor([figure], toldRoom))
}

/** @throws Problem 404 for what no form of ours sends */
function fileIdIn(print: Values): string {
  const id = anId.safeParse(print.fileId)
  if (!id.success) throw notFound('file')
  return id.data
}

/** So many files are offered at a tap. */
const mostFurther = 6

/** What else may have been on the plate: what was looked up, or else what the member most likely has on it. */
async function furtherFiles(db: Db, viewer: Viewer, values: Values, prints: readonly { file: { id: string } }[]) {
  const q = String([values.q].flat()[0] ?? '').trim()
  const titled = ({ id, title }: File) => ({ id, title })
  if (q) return { q, files: (await listFiles(db, viewer, { limit: mostFurther, q })).items.map(titled) }
  const likely = (await likelyFiles(db, viewer.id)).map(({ fileId }) => fileId)
  const others = likely.filter((id) => !prints.some(({ file }) => file.id === id)).slice(0, mostFurther)
  return { q, files: (await filesById(db, viewer, others)).map(titled) }
}

/** Today, on the member's usual printer. */
export async function usualPlate(request: FastifyRequest): Promise<Values> {
  const { db, member } = request
  return {
    printedOn: request.today,
    printerId: usualOf(await printersToChoose(db, member), member)?.id ?? '',
    crowding: '',
  }
}

/** A print of this file with its newest supports, as many as last time. */
export async function usualPrint(db: Db, viewer: Viewer, fileId: string): Promise<Values> {
  const choices = (await supportChoices(db, viewer, [fileId])).get(fileId)
  if (!choices) throw notFound('file')
  const newest = choices.find(({ revision, isNewest }) => revision && isNewest)
  return { fileId, supports: newest?.value ?? '', tried: await lastTried(db, viewer, fileId) }
}

/** So many were on the viewer's last plate of it; empty where there was none. */
async function lastTried(db: Db, viewer: Viewer, fileId: string): Promise<string> {
  const [last] = (await listReports(db, viewer, { fileId, memberId: viewer.id, limit: 1 })).items
  return String(last?.tried ?? '')
}

/**
 * A form after one of its smaller buttons was pressed: a print more, a print less, or something looked up. Nothing is wrong
 * with it yet but a picture that was not taken.
 *
 * @param nothingGood the plate failed as a whole
 */
export async function pressed({ db, member, body }: FastifyRequest, sent: FormState, nothingGood = false) {
  const { add, drop } = (body ?? {}) as { add?: unknown; drop?: unknown }
  const { add: _add, drop: _drop, ...typed } = sent.values
  const { pictures } = sent.errors
  const shown = (values: Values): FormState => ({ values, errors: pictures === undefined ? {} : { pictures } })
  const prints = printsIn(typed)
  if (typeof drop === 'string') return shown(withPrints(typed, prints.toSpliced(Number(drop), 1)))
  const fileId = anId.safeParse(add)
  if (!fileId.success) return shown(typed)
  const { q: _q, ...rest } = typed
  const further = await usualPrint(db, member, fileId.data)
  return shown(withPrints(rest, [...prints, { ...further, ...(nothingGood && { good: '0' }) }]))
}

interface FormPrint extends Omit<ChangedPrint, 'supportSetId'> {
  fileId: string
  supports: string
  entryId?: string | undefined
}

/** The prints of a form with the support sets that it means; one that is not there yet is entered. @throws Problem 422 */
export async function toldPrints(trx: Db, viewer: Viewer, prints: readonly FormPrint[]): Promise<ChangedPrint[]> {
  const sets = await supportSetsFor(trx, viewer, prints, (index) => `/prints/${index}/supports`)
  const told = prints.map(({ fileId: _file, supports: _supports, entryId: _entry, ...print }, index) => ({
    ...print,
    supportSetId: sets[index] ?? '',
  }))
  const [[index] = [], words = ''] = wrongPrints(told) ?? []
  if (words) throw invalid(pointer(index === undefined ? ['prints'] : ['prints', index, 'supports']), words)
  return told
}
