import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes } from '../../../http/openapi.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { addSnag, changeSnag, readSnag } from './queries.ts'
import { changedSnag, newSnag, snagSchema } from './schema.ts'

export function snagsApi(app: App): void {
  app.post(
    '/files/:id/snags',
    { schema: { params: byId, body: newSnag, response: makes(snagSchema) } },
    async ({ db, member, params, body }, reply) =>
      sendMade(reply, '/snags', await addSnag(db, member, params.id, body)),
  )

  app.get(
    '/snags/:id',
    { schema: { params: byId, response: answers(snagSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readSnag(db, member, params.id)),
  )

  app.patch(
    '/snags/:id',
    { schema: { params: byId, body: changedSnag, response: answers(snagSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeSnag(db, member, params.id, body, wantedBy(request)))
    },
  )
}
