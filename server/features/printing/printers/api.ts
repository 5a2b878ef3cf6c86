import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { todayOf } from '../../../http/group.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { addPrinter, changePrinter, listPrinters, readPrinter } from './queries.ts'
import { changedPrinter, newPrinter, printerList, printerSchema, wholePrinterSchema } from './schema.ts'

export function printersApi(app: App): void {
  app.get(
    '/printers',
    { schema: { querystring: printerList, response: lists(printerSchema) } },
    async (request, reply) => sendPage(reply, await listPrinters(request.db, request.query, todayOf(request))),
  )

  app.post('/printers', { schema: { body: newPrinter, response: makes(wholePrinterSchema) } }, async (request, reply) =>
    sendMade(reply, '/printers', await addPrinter(request.db, request.member, request.body, todayOf(request))),
  )

  app.get(
    '/printers/:id',
    { schema: { params: byId, response: answers(wholePrinterSchema) } },
    async (request, reply) =>
      sendVersion(reply, await readPrinter(request.db, request.member, request.params.id, todayOf(request))),
  )

  app.patch(
    '/printers/:id',
    { schema: { params: byId, body: changedPrinter, response: answers(wholePrinterSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const how = { wanted: wantedBy(request), today: todayOf(request) }
      return sendVersion(reply, await changePrinter(db, member, params.id, body, how))
    },
  )
}
