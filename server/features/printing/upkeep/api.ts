import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes, noContent } from '../../../http/openapi.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { changedUpkeep, newUpkeep, upkeepSchema } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack } from './changes.ts'
import { noteUpkeep } from './queries.ts'

export function upkeepApi(app: App): void {
  app.post(
    '/printers/:id/upkeep',
    { schema: { params: byId, body: newUpkeep, response: makes(upkeepSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const how = { wanted: wantedBy(request), now: app.now() }
      return sendMade(reply, '/upkeep', await noteUpkeep(db, member, params.id, body, how))
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
      const how = { wanted: wantedBy(request), now: app.now() }
      return sendVersion(reply, await changeUpkeep(db, member, params.id, body, how))
    },
  )

  app.delete('/upkeep/:id', { schema: { params: byId, response: noContent } }, (request) =>
    takeUpkeepBack(request.db, request.member, request.params.id, wantedBy(request)),
  )
}
