import { type App, answers, byId } from '../../../http/route.ts'
import { chanceFacts, chancesOf } from './queries.ts'
import { chancesQuery, chancesSchema } from './schema.ts'

export function chancesApi(app: App): void {
  app.get(
    '/files/:id/chances',
    answers(chancesSchema, { params: byId, querystring: chancesQuery }),
    async ({ db, member, params, query }) => chancesOf(db, member, await chanceFacts(db, member, params.id), query),
  )
}
