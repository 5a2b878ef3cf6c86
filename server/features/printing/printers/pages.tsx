import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { PrinterLead, Printer as PrinterPage } from '../../../../web/pages/Printer.tsx'
import { Printers } from '../../../../web/pages/Printers.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { mayChange } from '../../../http/access.ts'
import { blank, madeFrom, page, readForm, seeOther } from '../../../http/page.tsx'
import { pageQuery } from '../../../http/paging.ts'
import { type App, sameUntilWritten, withId } from '../../../http/route.ts'
import { wetPlates } from '../plates/queries.ts'
import { listReports } from '../reports/queries.ts'
import { noteUpkeep } from '../upkeep/queries.ts'
import { latestFilms, listPrinters, readPrinter } from './queries.ts'
import { newUpkeep } from './schema.ts'

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
      const latest = await listReports(db, member, { memberId: member.id, limit: latestReports })
      const props = {
        mine: mine.items.map((printer) => ({ ...printer, film: films.get(printer.id) ?? [] })),
        others: others.items,
        next: others.next,
        wet: await wetPlates(db, member.id).execute(),
        latest: latest.items,
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
