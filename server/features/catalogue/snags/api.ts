import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes } from '../../../http/openapi.ts'
import { addSnag, changeSnag, readSnag } from './queries.ts'
import { changedSnag, newSnag, snagSchema } from './schema.ts'

export function snagsApi(app: App): void {
  app.post(
    '/files/:id/snags',
    { schema: { params: byId, body: newSnag, response: makes(snagSchema) } },
    ({ db, member, params, body }) => addSnag(db, member, params.id, body),
  )

  app.get('/snags/:id', { schema: { params: byId, response: answers(snagSchema) } }, ({ db, member, params }) =>
    readSnag(db, member, params.id),
  )

  app.patch(
    '/snags/:id',
    { schema: { params: byId, body: changedSnag, response: answers(snagSchema) } },
    ({ db, member, params, body, wanted }) => changeSnag(db, member, params.id, body, wanted),
  )
}
