import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { todayOf } from '../../../http/group.ts'
import { problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { addPrinter, changePrinter, listPrinters, printerOwner, readPrinter } from './queries.ts'
import { changedPrinter, newPrinter, printerList, printerSchema, wholePrinterSchema } from './schema.ts'

export function printersApi(app: App): void {
  app.get(
    '/printers',
    { schema: { querystring: printerList, response: { 200: pageOf(printerSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listPrinters(request.db, request.query, todayOf(request))),
  )

  app.post(
    '/printers',
    { schema: { body: newPrinter, response: { 201: wholePrinterSchema, ...problems } } },
    async (request, reply) => {
      const printer = await addPrinter(request.db, request.member, request.body, todayOf(request))
      sendVersion(reply, printer.version).code(201).header('location', `/api/v1/printers/${printer.id}`)
      return printer
    },
  )

  app.get(
    '/printers/:id',
    { schema: { params: byId, response: { 200: wholePrinterSchema, ...problems } } },
    async (request, reply) => {
      const printer = await readPrinter(request.db, request.member, request.params.id, todayOf(request))
      sendVersion(reply, printer.version)
      return printer
    },
  )

  app.patch(
    '/printers/:id',
    { schema: { params: byId, body: changedPrinter, response: { 200: wholePrinterSchema, ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const { ownerId } = await printerOwner(request.db, id)
      const wanted = versionToChange(request, ownerId === request.member.id)
      const how = { wanted, today: todayOf(request) }
      const printer = await changePrinter(request.db, request.member, id, request.body, how)
      sendVersion(reply, printer.version)
      return printer
    },
  )
}
