import { type App, answers, byId, ofId } from '../../../http/route.ts'
import { castVote, takeVoteBack } from './queries.ts'
import { newVote, tallySchema } from './schema.ts'

export function votesApi(app: App): void {
  app.put(
    '/proposals/:id/vote',
    answers(tallySchema, { params: byId, body: newVote }),
    ({ db, member, params, body }) => castVote(db, { proposalId: params.id, memberId: member.id, ...body }),
  )

  app.delete('/proposals/:id/vote', answers(tallySchema, ofId), ({ db, member, params }) =>
    takeVoteBack(db, { proposalId: params.id, memberId: member.id }),
  )
}
