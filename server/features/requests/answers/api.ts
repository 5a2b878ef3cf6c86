import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { requestAnswers, unitAnswers } from './queries.ts'
import { answersQuery, answersSchema, unitAnswersQuery } from './schema.ts'

export function answersApi(app: App): void {
  app.get(
    '/requests/:id/answers',
    { schema: { params: byId, querystring: answersQuery, response: { 200: answersSchema, ...problems } } },
    (request) => requestAnswers(request.db, request.member, request.params.id, request.query),
  )

  app.get(
    '/units/:id/answers',
    { schema: { params: byId, querystring: unitAnswersQuery, response: { 200: answersSchema, ...problems } } },
    (request) => unitAnswers(request.db, request.member, request.params.id, request.query),
  )
}
