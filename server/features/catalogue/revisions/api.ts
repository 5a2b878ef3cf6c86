import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { addRevision, addSupportSet, changeRevision, readRevision } from './queries.ts'
import { changedRevision, newRevision, newSupportSet, revisionSchema, supportSetSchema } from './schema.ts'

export function revisionsApi(app: App): void {
  app.post(
    '/files/:id/revisions',
    { schema: { params: byId, body: newRevision, response: { 201: revisionSchema, ...problems } } },
    async (request, reply) => {
      const made = await addRevision(request.db, request.member, request.params.id, request.body, app.now())
      sendVersion(reply, made.version).code(201).header('location', `/api/v1/revisions/${made.id}`)
      return made
    },
  )

  app.get(
    '/revisions/:id',
    { schema: { params: byId, response: { 200: revisionSchema, ...problems } } },
    async (request, reply) => {
      const revision = await readRevision(request.db, request.member, request.params.id)
      sendVersion(reply, revision.version)
      return revision
    },
  )

  app.patch(
    '/revisions/:id',
    { schema: { params: byId, body: changedRevision, response: { 200: revisionSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const { createdBy } = await readRevision(db, member, params.id)
      const wanted = versionToChange(request, createdBy.id === member.id)
      const revision = await changeRevision(db, member, params.id, body, { wanted, now: app.now() })
      sendVersion(reply, revision.version)
      return revision
    },
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
