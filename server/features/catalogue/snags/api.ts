import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { addSnag, changeSnag, readSnag, snagAuthor } from './queries.ts'
import { changedSnag, newSnag, snagSchema } from './schema.ts'

export function snagsApi(app: App): void {
  app.post(
    '/files/:id/snags',
    { schema: { params: byId, body: newSnag, response: { 201: snagSchema, ...problems } } },
    async (request, reply) => {
      const snag = await addSnag(request.db, request.member, request.params.id, request.body)
      sendVersion(reply, snag.version).code(201).header('location', `/api/v1/snags/${snag.id}`)
      return snag
    },
  )

  app.get(
    '/snags/:id',
    { schema: { params: byId, response: { 200: snagSchema, ...problems } } },
    async (request, reply) => {
      const snag = await readSnag(request.db, request.member, request.params.id)
      sendVersion(reply, snag.version)
      return snag
    },
  )

  app.patch(
    '/snags/:id',
    { schema: { params: byId, body: changedSnag, response: { 200: snagSchema, ...problems } } },
    async (request, reply) => {
      const { id } = request.params
      const wanted = versionToChange(request, (await snagAuthor(request.db, id)) === request.member.id)
      const snag = await changeSnag(request.db, request.member, id, request.body, wanted)
      sendVersion(reply, snag.version)
      return snag
    },
  )
}
