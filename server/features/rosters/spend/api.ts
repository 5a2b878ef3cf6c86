import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { addSpendLine, removeSpendLine } from './lines.ts'
import { tieReport, untieReport } from './prints.ts'
import { addPurchase, removePurchase } from './purchases.ts'
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
  app.get('/rosters/:id/spend', { schema: { params: byId, response: { 200: spendSchema, ...problems } } }, (request) =>
    spendOf(request.db, request.member, request.params.id),
  )

  app.post(
    '/rosters/:id/purchases',
    { schema: { params: byId, body: newPurchase, response: { 201: purchaseSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const purchase = await addPurchase(db, member, params.id, body, app.now())
      reply.code(201).header('location', `/api/v1/rosters/${params.id}/spend`)
      return purchase
    },
  )

  app.delete(
    '/rosters/:id/purchases/:purchaseId',
    { schema: { params: byPurchase, response: noContent } },
    async (request, reply) => {
      await removePurchase(request.db, request.member, request.params.id, request.params.purchaseId)
      reply.code(204)
      return null
    },
  )

  app.post(
    '/rosters/:id/spend-lines',
    { schema: { params: byId, body: newSpendLine, response: { 201: spendLineSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const line = await addSpendLine(db, member, params.id, body, app.now())
      reply.code(201).header('location', `/api/v1/rosters/${params.id}/spend`)
      return line
    },
  )

  app.delete(
    '/rosters/:id/spend-lines/:lineId',
    { schema: { params: byLine, response: noContent } },
    async (request, reply) => {
      await removeSpendLine(request.db, request.member, request.params.id, request.params.lineId)
      reply.code(204)
      return null
    },
  )

  const place = '/rosters/:id/entries/:entryId/reports/:reportId'
  app.put(place, { schema: { params: byEntryReport, response: noContent } }, async (request, reply) => {
    await tieReport(request.db, request.member, request.params)
    reply.code(204)
    return null
  })

  app.delete(place, { schema: { params: byEntryReport, response: noContent } }, async (request, reply) => {
    await untieReport(request.db, request.member, request.params)
    reply.code(204)
    return null
  })
}
