import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { todayOf } from '../../../http/group.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, versionToChange } from '../../../http/version.ts'
import { addPrinter, changePrinter, listPrinters, printerOwner, readPrinter } from './queries.ts'
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
      const { id } = request.params
      const { ownerId } = await printerOwner(request.db, id)
      const wanted = versionToChange(request, ownerId === request.member.id)
      const how = { wanted, today: todayOf(request) }
      return sendVersion(reply, await changePrinter(request.db, request.member, id, request.body, how))
    },
  )
}
