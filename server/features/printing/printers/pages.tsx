import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { PrinterLead, Printer as PrinterPage } from '../../../../web/pages/Printer.tsx'
import { Printers } from '../../../../web/pages/Printers.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { mayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, readForm } from '../../../http/form.ts'
import { todayOf } from '../../../http/group.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { wetPlates } from '../plates/queries.ts'
import { listReports } from '../reports/queries.ts'
import { noteUpkeep } from '../upkeep/queries.ts'
import { latestFilms, listPrinters, readPrinter } from './queries.ts'
import { newUpkeep } from './schema.ts'

const latestReports = 6

/** The printers of the group, and one of them with its upkeep. */
export function printerPages(app: App): void {
  app.get('/printers', { schema: { querystring: z.object(pageQuery) } }, async (request, reply) => {
    const { db, member, query } = request
    const today = todayOf(request)
    const mine = await listPrinters(db, { limit: 100, memberId: member.id }, today)
    const others = await listPrinters(db, { ...query, exceptMemberId: member.id }, today)
    const films = await latestFilms(db, mine.items)
    const latest = await listReports(db, member, { memberId: member.id, limit: latestReports })
    const props = {
      mine: mine.items.map((printer) => ({ ...printer, film: films.get(printer.id) ?? [] })),
      others: others.items,
      next: others.next,
      wet: await wetPlates(db, member.id).execute(),
      latest: latest.items,
    }
    return page(request, reply, { title: 'At the printer', children: <Printers {...props} /> })
  })

  app.get('/printers/:id', { schema: { params: byId } }, async (request, reply) => {
    const printer = await readPrinter(request.db, request.member, request.params.id, todayOf(request))
    return printerPage(request, reply, printer, blank({ on: todayOf(request) }))
  })

  app.post('/printers/:id/upkeep', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(newUpkeep, request.body)
    const how = { wanted: request.wanted, now: app.now() }
    const noted = await form.submit((data) => noteUpkeep(request.db, request.member, id, data, how))
    if (noted) return seeOther(reply, `/printers/${id}#upkeep`, 'upkeep-noted')
    return printerPage(
      request,
      reply.code(422),
      await readPrinter(request.db, request.member, id, todayOf(request)),
      form,
    )
  })
}

type ReadPrinter = Awaited<ReturnType<typeof readPrinter>>

async function printerPage(request: FastifyRequest, reply: FastifyReply, printer: ReadPrinter, form: FormState) {
  const { db, member } = request
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
  return page(request, reply, { title: printer.name, lead, children: <PrinterPage {...props} /> })
}
