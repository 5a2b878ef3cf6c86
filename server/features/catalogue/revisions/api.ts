import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes } from '../../../http/openapi.ts'
import { sendMade, sendVersion, wantedBy } from '../../../http/version.ts'
import { addRevision, addSupportSet, changeRevision, readRevision } from './queries.ts'
import { changedRevision, newRevision, newSupportSet, revisionSchema, supportSetSchema } from './schema.ts'

export function revisionsApi(app: App): void {
  app.post(
    '/files/:id/revisions',
    { schema: { params: byId, body: newRevision, response: makes(revisionSchema) } },
    async ({ db, member, params, body }, reply) =>
      sendMade(reply, '/revisions', await addRevision(db, member, params.id, body, app.now())),
  )

  app.get(
    '/revisions/:id',
    { schema: { params: byId, response: answers(revisionSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readRevision(db, member, params.id)),
  )

  app.patch(
    '/revisions/:id',
    { schema: { params: byId, body: changedRevision, response: answers(revisionSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const how = { wanted: wantedBy(request), now: app.now() }
      return sendVersion(reply, await changeRevision(db, member, params.id, body, how))
    },
  )

  app.post(
    '/revisions/:id/support-sets',
    { schema: { params: byId, body: newSupportSet, response: makes(supportSetSchema) } },
    async ({ db, member, params, body }, reply) => {
      const made = await addSupportSet(db, member, params.id, body)
      reply.header('location', `/api/v1/revisions/${made.revisionId}`)
      return made
    },
  )
}
