import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, versionToChange } from '../../../http/version.ts'
import { addUnit, changeUnit, listUnits, readUnit, unitAuthor } from './queries.ts'
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
      const { createdBy } = await unitAuthor(request.db, request.params.id)
      const wanted = versionToChange(request, createdBy === request.member.id)
      return sendVersion(reply, await changeUnit(request.db, request.member, request.params.id, request.body, wanted))
    },
  )
}
