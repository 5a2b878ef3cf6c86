import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { noContent, problems } from '../../../http/openapi.ts'
import { pageOf, sendPage } from '../../../http/paging.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { addResin, changeResin, listResins, readResin, removeResin } from './queries.ts'
import { changedResin, newResin, resinList, resinSchema } from './schema.ts'

/** A member's bottles: nobody else reads or changes them. */
export function resinsApi(app: App): void {
  app.get(
    '/resins',
    { schema: { querystring: resinList, response: { 200: pageOf(resinSchema), ...problems } } },
    async (request, reply) => sendPage(request, reply, await listResins(request.db, request.member, request.query)),
  )

  app.post(
    '/resins',
    { schema: { body: newResin, response: { 201: resinSchema, ...problems } } },
    async (request, reply) => {
      const resin = await addResin(request.db, request.member, request.body)
      sendVersion(reply, resin.version).code(201).header('location', `/api/v1/resins/${resin.id}`)
      return resin
    },
  )

  app.get(
    '/resins/:id',
    { schema: { params: byId, response: { 200: resinSchema, ...problems } } },
    async (request, reply) => {
      const resin = await readResin(request.db, request.member, request.params.id)
      sendVersion(reply, resin.version)
      return resin
    },
  )

  app.patch(
    '/resins/:id',
    { schema: { params: byId, body: changedResin, response: { 200: resinSchema, ...problems } } },
    async (request, reply) => {
      const { db, member, params, body } = request
      const resin = await changeResin(db, member, params.id, body, versionToChange(request, true))
      sendVersion(reply, resin.version)
      return resin
    },
  )

  app.delete('/resins/:id', { schema: { params: byId, response: noContent } }, async (request, reply) => {
    await removeResin(request.db, request.member, request.params.id, versionToChange(request, true))
    reply.code(204)
    return null
  })
}
