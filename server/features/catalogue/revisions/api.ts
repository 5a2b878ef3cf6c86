import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes } from '../../../http/openapi.ts'
import { addRevision, addSupportSet, changeRevision, readRevision } from './queries.ts'
import { changedRevision, newRevision, newSupportSet, revisionSchema, supportSetSchema } from './schema.ts'

export function revisionsApi(app: App): void {
  app.post(
    '/files/:id/revisions',
    { schema: { params: byId, body: newRevision, response: makes(revisionSchema) } },
    ({ db, member, params, body }) => addRevision(db, member, params.id, body, app.now()),
  )

  app.get('/revisions/:id', { schema: { params: byId, response: answers(revisionSchema) } }, ({ db, member, params }) =>
    readRevision(db, member, params.id),
  )

  app.patch(
    '/revisions/:id',
    { schema: { params: byId, body: changedRevision, response: answers(revisionSchema) } },
    ({ db, member, params, body, wanted }) => changeRevision(db, member, params.id, body, { wanted, now: app.now() }),
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
