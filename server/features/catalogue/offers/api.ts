import type { FastifyReply } from 'fastify'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { addOffer, addOfferTo, changeOffer } from './changes.ts'
import { offerAuthor, readOffer } from './queries.ts'
import { changedOffer, newOffer, newWideOffer, type Offer, offerSchema } from './schema.ts'

export function offersApi(app: App): void {
  app.post(
    '/files/:id/offers',
    { schema: { params: byId, body: newOffer, response: { 201: offerSchema, ...problems } } },
    async (request, reply) =>
      made(reply, await addOfferTo(request.db, request.member, request.params.id, request.body, app.now())),
  )

  app.post(
    '/offers',
    { schema: { body: newWideOffer, response: { 201: offerSchema, ...problems } } },
    async (request, reply) => made(reply, await addOffer(request.db, request.member, request.body, app.now())),
  )

  app.get(
    '/offers/:id',
    { schema: { params: byId, response: { 200: offerSchema, ...problems } } },
    async (request, reply) => {
      const offer = await readOffer(request.db, request.member, request.params.id)
      sendVersion(reply, offer.version)
      return offer
    },
  )

  app.patch(
    '/offers/:id',
    { schema: { params: byId, body: changedOffer, response: { 200: offerSchema, ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const wanted = versionToChange(request, (await offerAuthor(request.db, id)) === request.member.id)
      const offer = await changeOffer(request.db, request.member, id, request.body, wanted, app.now())
      sendVersion(reply, offer.version)
      return offer
    },
  )
}

function made(reply: FastifyReply, offer: Offer): Offer {
  sendVersion(reply, offer.version).code(201).header('location', `/api/v1/offers/${offer.id}`)
  return offer
}
