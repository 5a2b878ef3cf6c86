import { type App, answers, byId, makes, ofId } from '../../../http/route.ts'
import { addOffer, addOfferTo, changeOffer } from './changes.ts'
import { readOffer } from './queries.ts'
import { changedOffer, newOffer, newWideOffer, offerSchema } from './schema.ts'

export function offersApi(app: App): void {
  app.post('/files/:id/offers', makes(offerSchema, { params: byId, body: newOffer }), ({ db, member, params, body }) =>
    addOfferTo(db, member, params.id, body, app.now()),
  )

  app.post('/offers', makes(offerSchema, { body: newWideOffer }), ({ db, member, body }) =>
    addOffer(db, member, body, app.now()),
  )

  app.get('/offers/:id', answers(offerSchema, ofId), ({ db, member, params }) => readOffer(db, member, params.id))

  app.patch(
    '/offers/:id',
    answers(offerSchema, { params: byId, body: changedOffer }),
    ({ db, member, params, body, wanted }) => changeOffer(db, member, params.id, body, wanted, app.now()),
  )
}
