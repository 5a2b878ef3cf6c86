import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { addPrinter, changePrinter, listPrinters, readPrinter } from './queries.ts'
import { changedPrinter, newPrinter, printerList, printerSchema, wholePrinterSchema } from './schema.ts'

export function printersApi(app: App): void {
  app.get(
    '/printers',
    { config: { sameUntilWritten: true }, ...lists(printerSchema, { querystring: printerList }) },
    ({ db, query, today }) => listPrinters(db, query, today),
  )

  app.post('/printers', makes(wholePrinterSchema, { body: newPrinter }), ({ db, member, body, today }) =>
    addPrinter(db, member, body, today),
  )

  app.get(
    '/printers/:id',
    { config: { sameUntilWritten: true }, ...answers(wholePrinterSchema, { params: byId }) },
    ({ db, member, params, today }) => readPrinter(db, member, params.id, today),
  )

  app.patch(
    '/printers/:id',
    answers(wholePrinterSchema, { params: byId, body: changedPrinter }),
    ({ db, member, params, body, wanted, today }) => changePrinter(db, member, params.id, body, { wanted, today }),
  )
}
