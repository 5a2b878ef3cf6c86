import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { verdictOf } from '../reports/verdict.ts'
import { addPlate, changePlate, removePlate } from './changes.ts'
import { listPlates, plateAuthor, readPlate } from './queries.ts'
import { changedPlate, judgedPlateSchema, newPlate, plateList, plateSchema } from './schema.ts'

/** What came off a printer at once, with all of its prints. */
export function platesApi(app: App): void {
  app.get(
    '/plates',
    { schema: { querystring: plateList, response: { 200: pageOf(plateSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listPlates(request.db, request.member, request.query)),
  )

  app.post(
    '/plates',
    { schema: { body: newPlate, response: { 201: judgedPlateSchema, ...problems } } },
    async (request, reply) => {
      const plate = await addPlate(request.db, request.member, request.body, { now: app.now() })
      sendVersion(reply, plate.version).code(201).header('location', `/api/v1/plates/${plate.id}`)
      return { ...plate, verdict: await verdictOf(request.db, plate) }
    },
  )

  app.get(
    '/plates/:id',
    { schema: { params: byId, response: { 200: judgedPlateSchema, ...problems } } },
    async (request, reply) => {
      const plate = await readPlate(request.db, request.member, request.params.id)
      sendVersion(reply, plate.version)
      return { ...plate, verdict: await verdictOf(request.db, plate) }
    },
  )

  app.patch(
    '/plates/:id',
    { schema: { params: byId, body: changedPlate, response: { 200: judgedPlateSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { memberId } = await plateAuthor(db, params.id)
      const how = { wanted: versionToChange(request, memberId === member.id), now: app.now() }
      const plate = await changePlate(db, member, params.id, body, how)
      sendVersion(reply, plate.version)
      return { ...plate, verdict: await verdictOf(db, plate) }
    },
  )

  app.delete('/plates/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    const { db, member, params } = request
    const { memberId } = await plateAuthor(db, params.id)
    await removePlate(db, member, params.id, versionToChange(request, memberId === member.id))
    reply.code(204)
    return null
  })
}
