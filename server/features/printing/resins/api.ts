import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes, noContent } from '../../../http/openapi.ts'
import { addResin, changeResin, listResins, readResin, removeResin } from './queries.ts'
import { changedResin, newResin, resinList, resinSchema } from './schema.ts'

/** A member's bottles: nobody else reads or changes them. */
export function resinsApi(app: App): void {
  app.get('/resins', { schema: { querystring: resinList, response: lists(resinSchema) } }, ({ db, member, query }) =>
    listResins(db, member, query),
  )

  app.post('/resins', { schema: { body: newResin, response: makes(resinSchema) } }, ({ db, member, body }) =>
    addResin(db, member, body),
  )

  app.get('/resins/:id', { schema: { params: byId, response: answers(resinSchema) } }, ({ db, member, params }) =>
    readResin(db, member, params.id),
  )

  app.patch(
    '/resins/:id',
    { schema: { params: byId, body: changedResin, response: answers(resinSchema) } },
    ({ db, member, params, body, wanted }) => changeResin(db, member, params.id, body, wanted),
  )

  app.delete(
    '/resins/:id',
    { schema: { params: byId, response: noContent } },
    async ({ db, member, params, wanted }) => {
      await removeResin(db, member, params.id, wanted)
    },
  )
}
