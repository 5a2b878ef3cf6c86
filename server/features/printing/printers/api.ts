import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { todayOf } from '../../../http/group.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { addPrinter, changePrinter, listPrinters, readPrinter } from './queries.ts'
import { changedPrinter, newPrinter, printerList, printerSchema, wholePrinterSchema } from './schema.ts'

export function printersApi(app: App): void {
  app.get('/printers', { schema: { querystring: printerList, response: lists(printerSchema) } }, (request) =>
    listPrinters(request.db, request.query, todayOf(request)),
  )

  app.post('/printers', { schema: { body: newPrinter, response: makes(wholePrinterSchema) } }, (request) =>
    addPrinter(request.db, request.member, request.body, todayOf(request)),
  )

  app.get('/printers/:id', { schema: { params: byId, response: answers(wholePrinterSchema) } }, (request) =>
    readPrinter(request.db, request.member, request.params.id, todayOf(request)),
  )

  app.patch(
    '/printers/:id',
    { schema: { params: byId, body: changedPrinter, response: answers(wholePrinterSchema) } },
    (request) => {
      const { db, member, params, body, wanted } = request
      return changePrinter(db, member, params.id, body, { wanted, today: todayOf(request) })
    },
  )
}
