import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes, noContent } from '../../../http/openapi.ts'
import { sendPage } from '../../../http/paging.ts'
import { sendMade, sendVersion, versionToChange } from '../../../http/version.ts'
import { addResin, changeResin, listResins, readResin, removeResin } from './queries.ts'
import { changedResin, newResin, resinList, resinSchema } from './schema.ts'

/** A member's bottles: nobody else reads or changes them. */
export function resinsApi(app: App): void {
  app.get(
    '/resins',
    { schema: { querystring: resinList, response: lists(resinSchema) } },
    async ({ db, member, query }, reply) => sendPage(reply, await listResins(db, member, query)),
  )

  app.post(
    '/resins',
    { schema: { body: newResin, response: makes(resinSchema) } },
    async ({ db, member, body }, reply) => sendMade(reply, '/resins', await addResin(db, member, body)),
  )

  app.get(
    '/resins/:id',
    { schema: { params: byId, response: answers(resinSchema) } },
    async ({ db, member, params }, reply) => sendVersion(reply, await readResin(db, member, params.id)),
  )

  app.patch(
    '/resins/:id',
    { schema: { params: byId, body: changedResin, response: answers(resinSchema) } },
    async (request, reply) => {
      const { db, member, params, body } = request
      return sendVersion(reply, await changeResin(db, member, params.id, body, versionToChange(request, true)))
    },
  )

  app.delete('/resins/:id', { schema: { params: byId, response: noContent } }, async (request) => {
    await removeResin(request.db, request.member, request.params.id, versionToChange(request, true))
  })
}
