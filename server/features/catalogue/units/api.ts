import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { addUnit, changeUnit, listUnits, readUnit } from './queries.ts'
import { changedUnit, newUnit, unitList, unitSchema } from './schema.ts'

export function unitsApi(app: App): void {
  app.get('/units', { schema: { querystring: unitList, response: lists(unitSchema) } }, async ({ db, query }, reply) =>
    sendPage(reply, await listUnits(db, query)),
  )

  app.post('/units', { schema: { body: newUnit, response: makes(unitSchema) } }, async ({ db, member, body }, reply) =>
    sendMade(reply, '/units', await addUnit(db, member.id, body)),
  )

  app.get('/units/:id', { schema: { params: byId, response: answers(unitSchema) } }, async ({ db, params }, reply) =>
    sendVersion(reply, await readUnit(db, params.id)),
  )

  app.patch(
    '/units/:id',
    { schema: { params: byId, body: changedUnit, response: answers(unitSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeUnit(db, member, params.id, body, wantedBy(request)))
    },
  )
}
