import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { EditPrinter, type SizeLink } from '../../../../web/pages/EditPrinter.tsx'
import type { FormState, Values } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { id as anId, byId } from '../../../http/fields.ts'
import { blank, madeFrom, once, readForm, valuesFrom } from '../../../http/form.ts'
import { todayOf } from '../../../http/group.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { addPrinter, changePrinter, readPrinter, whoChangesPrinters } from './queries.ts'
import { changedPrinterForm, printerForm, type WholePrinter } from './schema.ts'
import { sizeLinks, sizeNames, usualSettings } from './sizes.ts'

const choice = z.object({ size: z.enum(sizeNames).optional().catch(undefined) })

/** Forms that add and change printers. */
export function printerEditPages(app: App): void {
  app.get('/printers/new', { schema: { querystring: choice.loose() } }, async (request, reply) => {
    const { size } = request.query
    return addPage(request, reply, blank(usualSettings(size)), sizeLinks(size, fileToReport(request.query)))
  })

  app.post('/printers/new', async (request, reply) => {
    const form = readForm(printerForm, withoutFile(request.body))
    const today = todayOf(request)
    const printer = await form.submit((data) => addPrinter(request.db, request.member, data, today))
    const fileId = fileToReport(request.body)
    if (printer && fileId) return seeOther(reply, `/reports/new?fileId=${fileId}`, 'printer-added')
    if (printer) return seeOther(reply, `/printers/${printer.id}`, 'printer-added')
    return addPage(request, reply.code(422), form)
  })

  app.get('/printers/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const printer = await readPrinter(request.db, request.member, request.params.id, todayOf(request))
    expectMayChange(request.member, printer.owner.id, whoChangesPrinters)
    return editPage(request, reply, printer, blank(valuesOf(printer)))
  })

  app.post('/printers/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(changedPrinterForm, request.body)
    const how = { wanted: request.wanted, today: todayOf(request) }
    const printer = await form.submit((data) => changePrinter(request.db, request.member, id, data, how))
    if (printer) return seeOther(reply, `/printers/${id}`, 'saved')
    return editPage(request, reply.code(422), await readPrinter(request.db, request.member, id, how.today), form)
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

async function addPage(request: FastifyRequest, reply: FastifyReply, form: FormState, sizes: SizeLink[] = []) {
  const fileId = fileToReport(request.method === 'GET' ? request.query : request.body)
  const hidden = { ...once(), ...(fileId && { reportOf: fileId }) }
  const props = { form, hidden, action: '/printers/new', isNew: true, sizes }
  return page(request, reply, { title: 'Add a printer', children: <EditPrinter {...props} /> })
}

async function editPage(request: FastifyRequest, reply: FastifyReply, printer: WholePrinter, form: FormState) {
  const hidden = madeFrom(printer.version)
  const props = { form, hidden, action: `/printers/${printer.id}/edit`, isNew: false }
  return page(request, reply, { title: `Change ${printer.name}`, children: <EditPrinter {...props} /> })
}

/** A printer as the values of its form. */
function valuesOf({ plateMm: [plateWidthMm, plateDepthMm], name, state, ...settings }: WholePrinter): Values {
  const { buildHeightMm, layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS } = settings
  const lit = { layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS }
  return valuesFrom({ name, state, plateWidthMm, plateDepthMm, buildHeightMm, ...lit })
}
