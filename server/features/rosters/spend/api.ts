import { type App, answers, byId, makes, noContent, ofId } from '../../../http/route.ts'
import { addPurchase, addSpendLine, removePurchase, removeSpendLine } from './paid.ts'
import { tieReport, untieReport } from './prints.ts'
import { spendOf } from './queries.ts'
import {
  byEntryReport,
  byLine,
  byPurchase,
  newPurchase,
  newSpendLine,
  purchaseSchema,
  spendLineSchema,
  spendSchema,
} from './schema.ts'

/** What carrying a roster out has cost: for its owner alone. */
export function rosterSpendApi(app: App): void {
  app.get('/rosters/:id/spend', answers(spendSchema, ofId), ({ db, member, params }) => spendOf(db, member, params.id))

  app.post(
    '/rosters/:id/purchases',
    makes(purchaseSchema, { params: byId, body: newPurchase }),
    async ({ db, member, params, body }, reply) => {
      const purchase = await addPurchase(db, member, params.id, body, app.now())
      reply.header('location', `/api/v1/rosters/${params.id}/spend`)
      return purchase
    },
  )

  app.delete('/rosters/:id/purchases/:purchaseId', noContent({ params: byPurchase }), ({ db, member, params }) =>
    removePurchase(db, member, params.id, params.purchaseId),
  )

  app.post(
    '/rosters/:id/spend-lines',
    makes(spendLineSchema, { params: byId, body: newSpendLine }),
    async ({ db, member, params, body }, reply) => {
      const line = await addSpendLine(db, member, params.id, body, app.now())
      reply.header('location', `/api/v1/rosters/${params.id}/spend`)
      return line
    },
  )

  app.delete('/rosters/:id/spend-lines/:lineId', noContent({ params: byLine }), ({ db, member, params }) =>
    removeSpendLine(db, member, params.id, params.lineId),
  )

  const place = '/rosters/:id/entries/:entryId/reports/:reportId'
  app.put(place, noContent({ params: byEntryReport }), ({ db, member, params }) => tieReport(db, member, params))

  app.delete(place, noContent({ params: byEntryReport }), ({ db, member, params }) => untieReport(db, member, params))
}
