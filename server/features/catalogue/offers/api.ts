import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes } from '../../../http/openapi.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { addOffer, addOfferTo, changeOffer } from './changes.ts'
import { readOffer } from './queries.ts'
import { changedOffer, newOffer, newWideOffer, offerSchema } from './schema.ts'

export function offersApi(app: App): void {
  app.post(
    '/files/:id/offers',
    { schema: { params: byId, body: newOffer, response: makes(offerSchema) } },
    async ({ db, member, params, body }, reply) =>
      sendMade(reply, '/offers', await addOfferTo(db, member, params.id, body, app.now())),
  )

  app.post(
    '/offers',
    { schema: { body: newWideOffer, response: makes(offerSchema) } },
    async ({ db, member, body }, reply) => sendMade(reply, '/offers', await addOffer(db, member, body, app.now())),
  )

  app.get(
    '/offers/:id',
    { schema: { params: byId, response: answers(offerSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readOffer(db, member, params.id)),
  )

  app.patch(
    '/offers/:id',
    { schema: { params: byId, body: changedOffer, response: answers(offerSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeOffer(db, member, params.id, body, wantedBy(request), app.now()))
    },
  )
}
