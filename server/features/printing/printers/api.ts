import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { addPrinter, changePrinter, listPrinters, readPrinter } from './queries.ts'
import { changedPrinter, newPrinter, printerList, printerSchema, wholePrinterSchema } from './schema.ts'

export function printersApi(app: App): void {
  app.get(
    '/printers',
    { config: { sameUntilWritten: true }, schema: { querystring: printerList, response: lists(printerSchema) } },
    ({ db, query, today }) => listPrinters(db, query, today),
  )

  app.post(
    '/printers',
    { schema: { body: newPrinter, response: makes(wholePrinterSchema) } },
    ({ db, member, body, today }) => addPrinter(db, member, body, today),
  )

  app.get(
    '/printers/:id',
    { config: { sameUntilWritten: true }, schema: { params: byId, response: answers(wholePrinterSchema) } },
    ({ db, member, params, today }) => readPrinter(db, member, params.id, today),
  )

  app.patch(
    '/printers/:id',
    { schema: { params: byId, body: changedPrinter, response: answers(wholePrinterSchema) } },
    ({ db, member, params, body, wanted, today }) => changePrinter(db, member, params.id, body, { wanted, today }),
  )
}
