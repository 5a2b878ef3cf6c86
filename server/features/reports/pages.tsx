import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import type { Db } from '../../../db/connect.ts'
import { inTransaction } from '../../../db/connect.ts'
import { EditReport } from '../../../web/pages/EditReport.tsx'
import { Report as ReportPage } from '../../../web/pages/Report.tsx'
import { type OfferedFile, ReportedFile } from '../../../web/pages/ReportedFile.tsx'
import type { Errors, Values } from '../../../web/parts/form.tsx'
import { mayChange } from '../../http/access.ts'
import type { App } from '../../http/app-type.ts'
import { id as anId, byId } from '../../http/fields.ts'
import { blank, madeFrom, once, readForm, versionOf } from '../../http/form.ts'
import { groupOf, todayIn } from '../../http/group.ts'
import { page, seeOther } from '../../http/page.tsx'
import { forbidden, notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { seen as seenKinds } from '../../scoring/labels.ts'
import { filesById, listFiles } from '../files/queries.ts'
import type { File } from '../files/schema.ts'
import { ownPrintersInUse } from '../printers/own.ts'
import { listPrinters } from '../printers/queries.ts'
import { addReport, changeReport, removeReport } from './changes.ts'
import { filesOfRequest, likelyFiles, type WhyOffered } from './choices.ts'
import { listReports, readReport } from './queries.ts'
import { changedReportForm, type Report, reportForm, reportNumbers } from './schema.ts'
import { supportChoices, supportSetFor } from './supports.ts'
import { verdictOf } from './verdict.ts'

type FormState = { values: Values; errors: Errors }

const optionalId = anId.optional().catch(undefined)
/** What may stand in the address; whatever makes no sense is left out, so that an old link still leads somewhere. */
const start = z.object({
  fileId: optionalId,
  requestId: optionalId,
  q: z.string().trim().max(200).default('').catch(''),
  said: z.string().optional().catch(undefined),
})

export function reportPages(app: App): void {
  app.get('/reports/new', { schema: { querystring: start } }, async (request, reply) => {
    const { db, member, query } = request
    if (!query.fileId) return choosePage(request, reply, query)
    const file = await fileOf(db, member, query.fileId)
    return newPage(request, reply, file, blank(await usualValues(request, file.id)))
  })

  app.post('/reports/new', async (request, reply) => {
    const form = readForm(reportForm, request.body, reportNumbers)
    const { db, member } = request
    const report = await form.submit(({ fileId, supports, ...rest }) =>
      inTransaction(db, async (trx) => {
        const supportSetId = await supportSetFor(trx, member, fileId, supports)
        return addReport(trx, member, { supportSetId, ...rest }, app.now())
      }),
    )
    if (report) return seeOther(reply, `/reports/${report.id}`, 'reported')
    const fileId = anId.safeParse(form.values.fileId)
    if (!fileId.success) throw notFound('file')
    return newPage(request, reply.code(422), await fileOf(db, member, fileId.data), form)
  })

  app.get('/reports/:id', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    const report = await readReport(db, member, params.id)
    const props = {
      report,
      verdict: await verdictOf(db, report.id),
      isMine: report.member.id === member.id,
      remove: mayChange(member, report.member.id) ? madeFrom(report.version) : undefined,
    }
    const title = `${report.good} of ${report.tried} good: ${report.file.title}`
    return page(request, reply, { title, children: <ReportPage {...props} /> })
  })

  app.get('/reports/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const report = await readReport(request.db, request.member, request.params.id)
    if (report.member.id !== request.member.id) throw forbidden('A report is changed by whoever made it.')
    return editPage(request, reply, report, blank(valuesOf(report)))
  })

  app.post('/reports/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    const before = await readReport(db, member, params.id)
    const form = readForm(changedReportForm, request.body, reportNumbers)
    const how = { wanted: versionOf(request.body), now: app.now() }
    const report = await form.submit(({ supports, ...rest }) =>
      inTransaction(db, async (trx) => {
        if (before.member.id !== member.id) throw forbidden('A report is changed by whoever made it.')
        const supportSetId = await supportSetFor(trx, member, before.file.id, supports)
        return changeReport(trx, member, params.id, { supportSetId, ...rest }, how)
      }),
    )
    if (report) return seeOther(reply, `/reports/${report.id}`, 'report-changed')
    return editPage(request, reply.code(422), before, form)
  })

  app.post('/reports/:id/remove', { schema: { params: byId } }, async (request, reply) => {
    const { db, member, params } = request
    const report = await readReport(db, member, params.id)
    await removeReport(db, member, report.id, versionOf(request.body))
    return seeOther(reply, `/files/${report.file.id}`, 'report-removed')
  })
}

/** @throws Problem 404 */
async function fileOf(db: Db, viewer: Viewer, id: string): Promise<File> {
  const [file] = await filesById(db, viewer, [id])
  if (!file) throw notFound('file')
  return file
}

const whyWords: Record<WhyOffered, string> = {
  printed: 'you printed it before',
  settled: 'you settled on it',
  archived: 'in your archive',
}

const offered = (file: File, why?: WhyOffered): OfferedFile => ({
  id: file.id,
  title: file.title,
  sculptor: file.sculptor.name,
  ...(why && { why: whyWords[why] }),
})

async function choosePage(request: FastifyRequest, reply: FastifyReply, { q, requestId }: z.infer<typeof start>) {
  const { db, member } = request
  const likely = await likelyFiles(db, member.id)
  const ofRequest = requestId ? await filesOfRequest(db, requestId) : []
  const files = await filesById(db, member, [...new Set([...ofRequest, ...likely.map(({ fileId }) => fileId)])])
  const known = new Map(files.map((file) => [file.id, file]))
  const show = (id: string, why?: WhyOffered) => {
    const file = known.get(id)
    return file ? [offered(file, why)] : []
  }
  const props = {
    q,
    found: q ? (await listFiles(db, member, { limit: 8, q })).items.map((file) => offered(file)) : [],
    ofRequest: ofRequest.flatMap((id) => show(id)),
    warned: (await ownPrintersInUse(request)).filter(({ look }) => look.due),
    likely: likely.filter(({ fileId }) => !ofRequest.includes(fileId)).flatMap(({ fileId, why }) => show(fileId, why)),
  }
  const title = 'Report a print'
  return page(request, reply, { title, lead: 'Which file was on the plate?', children: <ReportedFile {...props} /> })
}

/** Today, on the member's usual printer, as full as they usually fill it, with the newest supports; as many as last time. */
async function usualValues({ db, member, server }: FastifyRequest, fileId: string): Promise<Values> {
  const printers = await printersInUse(db, member)
  const usual = printers.find(({ id }) => id === member.defaultPrinterId) ?? printers[0]
  const newest = (await supportChoices(db, member, fileId)).find(({ revision, isNewest }) => revision && isNewest)
  const [last] = (await listReports(db, member, { fileId, memberId: member.id, limit: 1 })).items
  return {
    tried: String(last?.tried ?? ''),
    printedOn: todayIn((await groupOf(db)).timeZone, server.now()),
    printerId: usual?.id ?? '',
    crowding: member.defaultCrowding,
    supports: newest?.value ?? '',
  }
}

const printersInUse = async (db: Db, viewer: Viewer) =>
  (await listPrinters(db, { limit: 100, memberId: viewer.id })).items.filter(({ state }) => state === 'in use')

async function newPage(request: FastifyRequest, reply: FastifyReply, file: File, form: FormState) {
  const { db, member } = request
  const props = {
    ...{ form, file, isNew: true, action: '/reports/new', hidden: { ...once(), fileId: file.id } },
    seen: seenToAsk,
    supports: await supportChoices(db, member, file.id),
    printers: await printersInUse(db, member),
  }
  return page(request, reply, { title: `How did it come out: ${file.title}`, children: <EditReport {...props} /> })
}

/** "don't know" is what the others leave over. */
const seenToAsk = seenKinds.filter((kind) => kind !== "don't know")

async function editPage(request: FastifyRequest, reply: FastifyReply, report: Report, form: FormState) {
  const { db, member } = request
  const printers = (await listPrinters(db, { limit: 100, memberId: member.id })).items
  const props = {
    ...{ form, file: report.file, isNew: false, action: `/reports/${report.id}/edit` },
    hidden: madeFrom(report.version),
    seen: seenToAsk,
    supports: await supportChoices(db, member, report.file.id),
    printers: printers.filter(({ id, state }) => state === 'in use' || id === report.printer.id),
  }
  return page(request, reply, { title: `Change the report: ${report.file.title}`, children: <EditReport {...props} /> })
}

/** A report as the values of its form. */
const valuesOf = (report: Report): Values => ({
  supports: report.supportSet.id,
  printerId: report.printer.id,
  printedOn: report.printedOn,
  tried: String(report.tried),
  good: String(report.good),
  crowding: report.crowding,
  remark: report.remark,
  ...Object.fromEntries(report.failures.map(({ seen, copies }) => [`failures.${seen}`, String(copies)])),
})
