import { type App, answers, byId, lists, makes, ofId, sameUntilWritten } from '../../../http/route.ts'
import { addPrinter, changePrinter, listPrinters, readPrinter } from './queries.ts'
import { changedPrinter, newPrinter, printerList, printerSchema, wholePrinterSchema } from './schema.ts'

export function printersApi(app: App): void {
  app.get(
    '/printers',
    { ...sameUntilWritten, ...lists(printerSchema, { querystring: printerList }) },
    ({ db, query, today }) => listPrinters(db, query, today),
  )

  app.post('/printers', makes(wholePrinterSchema, { body: newPrinter }), ({ db, member, body, today }) =>
    addPrinter(db, member, body, today),
  )

  app.get(
    '/printers/:id',
    { ...sameUntilWritten, ...answers(wholePrinterSchema, ofId) },
    ({ db, member, params, today }) => readPrinter(db, member, params.id, today),
  )

  app.patch(
    '/printers/:id',
    answers(wholePrinterSchema, { params: byId, body: changedPrinter }),
    ({ db, member, params, body, wanted, today }) => changePrinter(db, member, params.id, body, { wanted, today }),
  )
}
