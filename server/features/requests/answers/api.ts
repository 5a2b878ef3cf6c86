import { type App, answers, byId, sameUntilWritten } from '../../../http/route.ts'
import { readUnit } from '../../catalogue/units/queries.ts'
import { requestAnswers, unitAnswers } from './queries.ts'
import { answersQuery, answersSchema, unitAnswersQuery } from './schema.ts'

export function answersApi(app: App): void {
  app.get(
    '/requests/:id/answers',
    { ...sameUntilWritten, ...answers(answersSchema, { params: byId, querystring: answersQuery }) },
    async ({ db, member, params, query }) => (await requestAnswers(db, member, params.id, query)).answers,
  )

  app.get(
    '/units/:id/answers',
    { ...sameUntilWritten, ...answers(answersSchema, { params: byId, querystring: unitAnswersQuery }) },
    async ({ db, member, params, query }) =>
      (await unitAnswers(db, member, await readUnit(db, params.id), { ...query, doubts: true })).answers,
  )
}
