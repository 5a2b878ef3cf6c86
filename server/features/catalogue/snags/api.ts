import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes } from '../../../http/openapi.ts'
import { addSnag, changeSnag, readSnag } from './queries.ts'
import { changedSnag, newSnag, snagSchema } from './schema.ts'

export function snagsApi(app: App): void {
  app.post('/files/:id/snags', makes(snagSchema, { params: byId, body: newSnag }), ({ db, member, params, body }) =>
    addSnag(db, member, params.id, body),
  )

  app.get('/snags/:id', answers(snagSchema, { params: byId }), ({ db, member, params }) =>
    readSnag(db, member, params.id),
  )

  app.patch(
    '/snags/:id',
    answers(snagSchema, { params: byId, body: changedSnag }),
    ({ db, member, params, body, wanted }) => changeSnag(db, member, params.id, body, wanted),
  )
}
