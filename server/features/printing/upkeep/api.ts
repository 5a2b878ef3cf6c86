import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { printerOwner } from '../printers/queries.ts'
import { changedUpkeep, newUpkeep, upkeepSchema } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack } from './changes.ts'
import { noteUpkeep } from './queries.ts'

export function upkeepApi(app: App): void {
  app.post(
    '/printers/:id/upkeep',
    { schema: { params: byId, body: newUpkeep, response: { 201: upkeepSchema, ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const { ownerId } = await printerOwner(request.db, id)
      const wanted = versionToChange(request, ownerId === request.member.id)
      const upkeep = await noteUpkeep(request.db, request.member, id, request.body, { wanted, now: app.now() })
      sendVersion(reply, upkeep.version).code(201).header('location', `/api/v1/upkeep/${upkeep.id}`)
      return upkeep
    },
  )

  app.get(
    '/upkeep/:id',
    { schema: { params: byId, response: { 200: upkeepSchema, ...problems } } },
    async (request, reply) => {
      const upkeep = await readUpkeep(request.db, request.params.id)
      sendVersion(reply, upkeep.version)
      return upkeep
    },
  )

  app.patch(
    '/upkeep/:id',
    {
      schema: {
        description: 'On another day, prints count as if it had been noted with that day.',
        params: byId,
        body: changedUpkeep,
        response: { 200: upkeepSchema, ...problems },
      },
    },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { printerId } = await readUpkeep(db, params.id)
      const wanted = versionToChange(request, (await printerOwner(db, printerId)).ownerId === member.id)
      const upkeep = await changeUpkeep(db, member, params.id, body, { wanted, now: app.now() })
      sendVersion(reply, upkeep.version)
      return upkeep
    },
  )

  app.delete('/upkeep/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    const { db, member, params } = request
    const { printerId } = await readUpkeep(db, params.id)
    const wanted = versionToChange(request, (await printerOwner(db, printerId)).ownerId === member.id)
    await takeUpkeepBack(db, member, params.id, wanted)
    reply.code(204)
    return null
  })
}
