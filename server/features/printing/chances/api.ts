import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { chancesOf } from './queries.ts'
import { chancesQuery, chancesSchema } from './schema.ts'

export function chancesApi(app: App): void {
  app.get(
    '/files/:id/chances',
    { schema: { params: byId, querystring: chancesQuery, response: { 200: chancesSchema, ...problems } } },
    async (request) => chancesOf(request.db, request.member, request.params.id, request.query),
  )
}
