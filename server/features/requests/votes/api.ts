import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { problems } from '../../../http/openapi.ts'
import { castVote, takeVoteBack } from './queries.ts'
import { newVote, tallySchema } from './schema.ts'

export function votesApi(app: App): void {
  app.put(
    '/proposals/:id/vote',
    { schema: { params: byId, body: newVote, response: { 200: tallySchema, ...problems } } },
    (request) => castVote(request.db, { proposalId: request.params.id, memberId: request.member.id, ...request.body }),
  )

  app.delete(
    '/proposals/:id/vote',
    { schema: { params: byId, response: { 200: tallySchema, ...problems } } },
    (request) => takeVoteBack(request.db, { proposalId: request.params.id, memberId: request.member.id }),
  )
}
