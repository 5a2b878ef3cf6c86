import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes, noContent } from '../../../http/openapi.ts'
import { sendMade, sendVersion, versionToChange } from '../../../http/version.ts'
import { printerOwner } from '../printers/queries.ts'
import { changedUpkeep, newUpkeep, upkeepSchema } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack } from './changes.ts'
import { noteUpkeep } from './queries.ts'

export function upkeepApi(app: App): void {
  app.post(
    '/printers/:id/upkeep',
    { schema: { params: byId, body: newUpkeep, response: makes(upkeepSchema) } },
    async (request, reply) => {
      const { id } = request.params
      const { ownerId } = await printerOwner(request.db, id)
      const wanted = versionToChange(request, ownerId === request.member.id)
      return sendMade(
        reply,
        '/upkeep',
        await noteUpkeep(request.db, request.member, id, request.body, { wanted, now: app.now() }),
      )
    },
  )

  app.get('/upkeep/:id', { schema: { params: byId, response: answers(upkeepSchema) } }, async ({ db, params }, reply) =>
    sendVersion(reply, await readUpkeep(db, params.id)),
  )

  app.patch(
    '/upkeep/:id',
    {
      schema: {
        description: 'On another day, prints count as if it had been noted with that day.',
        params: byId,
        body: changedUpkeep,
        response: answers(upkeepSchema),
      },
    },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { printerId } = await readUpkeep(db, params.id)
      const wanted = versionToChange(request, (await printerOwner(db, printerId)).ownerId === member.id)
      return sendVersion(reply, await changeUpkeep(db, member, params.id, body, { wanted, now: app.now() }))
    },
  )

  app.delete('/upkeep/:id', { schema: { params: byId, response: noContent } }, async (request) => {
    const { db, member, params } = request
    const { printerId } = await readUpkeep(db, params.id)
    const wanted = versionToChange(request, (await printerOwner(db, printerId)).ownerId === member.id)
    await takeUpkeepBack(db, member, params.id, wanted)
  })
}
