import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { EditPrinter, type SizeLink } from '../../../../web/pages/EditPrinter.tsx'
import { PrinterLead, Printer as PrinterPage } from '../../../../web/pages/Printer.tsx'
import { Printers } from '../../../../web/pages/Printers.tsx'
import type { FormState, Values } from '../../../../web/parts/form.tsx'
import { expectMayChange, mayChange } from '../../../http/access.ts'
import { id as anId } from '../../../http/fields.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { type App, sameUntilWritten, withId } from '../../../http/route.ts'
import { wetPlates } from '../plates/queries.ts'
import { listReports } from '../reports/queries.ts'
import { noteUpkeep } from '../upkeep/queries.ts'
import { addPrinter, changePrinter, latestFilms, listPrinters, readPrinter, whoChangesPrinters } from './queries.ts'
import { changedPrinterForm, newUpkeep, printerForm, type WholePrinter } from './schema.ts'
import { sizeLinks, sizeNames, usualSettings } from './sizes.ts'

const latestReports = 6

/** The printers of the group, and one of them with its upkeep. */
export function printerPages(app: App): void {
  app.get(
    '/printers',
    { ...sameUntilWritten, schema: { querystring: z.object(pageQuery) } },
    async ({ db, member, query, today }, reply) => {
      const mine = await listPrinters(db, { limit: 100, memberId: member.id }, today)
      const others = await listPrinters(db, { ...query, exceptMemberId: member.id }, today)
      const films = await latestFilms(db, mine.items)
      const props = {
        mine: mine.items.map((printer) => ({ ...printer, film: films.get(printer.id) ?? [] })),
        others: others.items,
        next: others.next,
        wet: await wetPlates(db, member.id).execute(),
      }
      return page(reply, { title: 'At the printer', children: <Printers {...props} /> })
    },
  )

  app.get('/printers/:id', { ...withId, ...sameUntilWritten }, async ({ db, member, params, today }, reply) => {
    const printer = await readPrinter(db, member, params.id, today)
    return printerPage(reply, printer, blank({ on: today }))
  })

  app.post('/printers/:id/upkeep', withId, async ({ db, member, params: { id }, body, wanted, today }, reply) => {
    const form = readForm(newUpkeep, body)
    const how = { wanted, now: app.now() }
    const noted = await form.submit((data) => noteUpkeep(db, member, id, data, how))
    if (noted) return seeOther(reply, `/printers/${id}#upkeep`, 'upkeep-noted')
    return printerPage(reply.code(422), await readPrinter(db, member, id, today), form)
  })
}

type ReadPrinter = Awaited<ReturnType<typeof readPrinter>>

async function printerPage(reply: FastifyReply, printer: ReadPrinter, form: FormState) {
  const { db, member } = reply.request
  const reports = await listReports(db, member, { printerId: printer.id, limit: latestReports })
  const upkeepForm = { form, hidden: madeFrom(printer.version) }
  const props = {
    printer,
    reports: reports.items,
    moreReports: reports.next !== null,
    wet: printer.wet,
    isMine: printer.owner.id === member.id,
    upkeepForm: mayChange(member, printer.owner.id) ? upkeepForm : undefined,
  }
  const lead = <PrinterLead printer={printer} mayChange={props.upkeepForm !== undefined} />
  return page(reply, { title: printer.name, lead, children: <PrinterPage {...props} /> })
}

const choice = z.object({ size: z.enum(sizeNames).optional().catch(undefined) })

/** Forms that add and change printers. */
export function printerEditPages(app: App): void {
  app.get('/printers/new', { schema: { querystring: choice.loose() } }, async ({ query }, reply) => {
    const { size } = query
    return addPage(reply, blank(usualSettings(size)), sizeLinks(size, fileToReport(query)))
  })

  app.post('/printers/new', async ({ db, member, body, today }, reply) => {
    const form = readForm(printerForm, withoutFile(body))
    const printer = await form.submit((data) => addPrinter(db, member, data, today))
    const fileId = fileToReport(body)
    if (printer && fileId) return seeOther(reply, `/reports/new?fileId=${fileId}`, 'printer-added')
    if (printer) return seeOther(reply, `/printers/${printer.id}`, 'printer-added')
    return addPage(reply.code(422), form)
  })

  app.get('/printers/:id/edit', withId, async ({ db, member, params, today }, reply) => {
    const printer = await readPrinter(db, member, params.id, today)
    expectMayChange(member, printer.owner.id, whoChangesPrinters)
    return editPage(reply, printer, blank(valuesOf(printer)))
  })

  app.post('/printers/:id/edit', withId, async ({ db, member, params: { id }, body, wanted, today }, reply) => {
    const form = readForm(changedPrinterForm, body)
    const how = { wanted, today }
    const printer = await form.submit((data) => changePrinter(db, member, id, data, how))
    if (printer) return seeOther(reply, `/printers/${id}`, 'saved')
    return editPage(reply.code(422), await readPrinter(db, member, id, how.today), form)
  })
}

/** Who came from a report that wanted a printer goes back to it. */
function fileToReport(from: unknown): string | undefined {
  const parsed = anId.safeParse((from as { reportOf?: unknown } | undefined)?.reportOf)
  return parsed.success ? parsed.data : undefined
}

function withoutFile(body: unknown): unknown {
  const { reportOf: _file, ...rest } = (body ?? {}) as Record<string, unknown>
  return rest
}

async function addPage(reply: FastifyReply, form: FormState, sizes: SizeLink[] = []) {
  const { query, body, method } = reply.request
  const fileId = fileToReport(method === 'GET' ? query : body)
  const hidden = { ...once(), ...(fileId && { reportOf: fileId }) }
  const props = { form, hidden, action: '/printers/new', isNew: true, sizes }
  return page(reply, { title: 'Add a printer', children: <EditPrinter {...props} /> })
}

async function editPage(reply: FastifyReply, printer: WholePrinter, form: FormState) {
  const hidden = madeFrom(printer.version)
  const props = { form, hidden, action: `/printers/${printer.id}/edit`, isNew: false }
  return page(reply, { title: `Change ${printer.name}`, children: <EditPrinter {...props} /> })
}

/** A printer as the values of its form. */
function valuesOf({ plateMm: [plateWidthMm, plateDepthMm], name, state, ...settings }: WholePrinter): Values {
  const { buildHeightMm, layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS } = settings
  const lit = { layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS }
  return valuesFrom({ name, state, plateWidthMm, plateDepthMm, buildHeightMm, ...lit })
}
