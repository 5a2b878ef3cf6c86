import type { App } from '../../http/app-type.ts'
import { byId } from '../../http/fields.ts'
import { problems } from '../../http/openapi.ts'
import { addRevision, addSupportSet, readRevision } from './queries.ts'
import { newRevision, newSupportSet, revisionSchema, supportSetSchema } from './schema.ts'

export function revisionsApi(app: App): void {
  app.post(
    '/files/:id/revisions',
    { schema: { params: byId, body: newRevision, response: { 201: revisionSchema, ...problems } } },
    async (request, reply) => {
      const made = await addRevision(request.db, request.member, request.params.id, request.body, app.now())
      reply.code(201).header('location', `/api/v1/revisions/${made.id}`)
      return made
    },
  )

  app.get('/revisions/:id', { schema: { params: byId, response: { 200: revisionSchema, ...problems } } }, (request) =>
    readRevision(request.db, request.member, request.params.id),
  )

  app.post(
    '/revisions/:id/support-sets',
    { schema: { params: byId, body: newSupportSet, response: { 201: supportSetSchema, ...problems } } },
    async (request, reply) => {
      const made = await addSupportSet(request.db, request.member, request.params.id, request.body)
      reply.code(201).header('location', `/api/v1/revisions/${made.revisionId}`)
      return made
    },
  )
}
