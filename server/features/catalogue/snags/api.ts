import { type App, answers, byId, makes, ofId } from '../../../http/route.ts'
import { addSnag, changeSnag, readSnag } from './queries.ts'
import { changedSnag, newSnag, snagSchema } from './schema.ts'

export function snagsApi(app: App): void {
  app.post('/files/:id/snags', makes(snagSchema, { params: byId, body: newSnag }), ({ db, member, params, body }) =>
    addSnag(db, member, params.id, body),
  )

  app.get('/snags/:id', answers(snagSchema, ofId), ({ db, member, params }) => readSnag(db, member, params.id))

  app.patch(
    '/snags/:id',
    answers(snagSchema, { params: byId, body: changedSnag }),
    ({ db, member, params, body, wanted }) => changeSnag(db, member, params.id, body, wanted),
  )
}
