import { z } from 'zod'
import { id } from '../../../http/fields.ts'
import { readForm, seeOther } from '../../../http/page.tsx'
import { notFound, unlessGone } from '../../../http/problem.ts'
import { type App, at, withId } from '../../../http/route.ts'
import { ownRoster } from '../queries.ts'
import { rosterPage } from '../show.tsx'
import { addPurchase, addSpendLine, removePurchase, removeSpendLine } from './paid.ts'
import { tieReport, untieReport } from './prints.ts'
import { byLine, byPurchase, newPurchase, newSpendLine } from './schema.ts'

const place = z.object({ entryId: id, reportId: id })

/** Ticking off what was bought and printed, on the roster's page. */
export function rosterSpendPages(app: App): void {
  app.post('/rosters/:id/purchases', withId, async ({ db, member, params, body }, reply) => {
    await ownRoster(db, member, params.id)
    const buying = readForm(newPurchase, body)
    const purchase = await buying.submit((data) => addPurchase(db, member, params.id, data, app.now()))
    if (purchase) return seeOther(reply, `/rosters/${params.id}#shopping`, 'bought')
    return rosterPage(reply.code(422), params.id, { buying })
  })

  app.post('/rosters/:id/purchases/:purchaseId/remove', at(byPurchase), async ({ db, member, params }, reply) => {
    await ownRoster(db, member, params.id)
    await removePurchase(db, member, params.id, params.purchaseId).catch(unlessGone)
    return seeOther(reply, `/rosters/${params.id}#spend`, 'purchase-struck')
  })

  app.post('/rosters/:id/spend-lines', withId, async ({ db, member, params, body }, reply) => {
    await ownRoster(db, member, params.id)
    const spending = readForm(newSpendLine, body)
    const line = await spending.submit((data) => addSpendLine(db, member, params.id, data, app.now()))
    if (line) return seeOther(reply, `/rosters/${params.id}#spend`, 'line-noted')
    return rosterPage(reply.code(422), params.id, { spending })
  })

  app.post('/rosters/:id/spend-lines/:lineId/remove', at(byLine), async ({ db, member, params }, reply) => {
    await ownRoster(db, member, params.id)
    await removeSpendLine(db, member, params.id, params.lineId).catch(unlessGone)
    return seeOther(reply, `/rosters/${params.id}#spend`, 'line-struck')
  })

  app.post('/rosters/:id/prints', withId, async ({ db, member, params, body }, reply) => {
    await tieReport(db, member, { id: params.id, ...placeIn(body) })
    return seeOther(reply, `/rosters/${params.id}#spend`, 'report-counted')
  })

  app.post('/rosters/:id/prints/remove', withId, async ({ db, member, params, body }, reply) => {
    await ownRoster(db, member, params.id)
    await untieReport(db, member, { id: params.id, ...placeIn(body) }).catch(unlessGone)
    return seeOther(reply, `/rosters/${params.id}#spend`, 'report-uncounted')
  })
}

/** @throws Problem 404 for what no form of ours sends */
function placeIn(posted: unknown) {
  const found = place.safeParse(posted)
  if (!found.success) throw notFound('report')
  return found.data
}
