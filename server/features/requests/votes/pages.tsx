import { z } from 'zod'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { seeOther } from '../../../http/page.tsx'
import { invalid, notFound } from '../../../http/problem.ts'
import { atAnswer } from '../requests/at-answer.ts'
import { castVote, takeVoteBack } from './queries.ts'

const ballot = z.object({ wouldField: z.enum(['true', 'false', '']) })

/** The two buttons under each answer; they lead back to where the answer stands. */
export function votePages(app: App): void {
  app.post('/proposals/:id/vote', { schema: { params: byId } }, async (request, reply) => {
    const parsed = ballot.safeParse(request.body)
    if (!parsed.success) throw invalid('/wouldField', 'Yes or no?')
    const vote = { proposalId: request.params.id, memberId: request.member.id }
    const { wouldField } = parsed.data
    if (wouldField === '') await takeVoteBack(request.db, vote)
    else await castVote(request.db, { ...vote, wouldField: wouldField === 'true' })
    const proposal = await request.db
      .selectFrom('proposal')
      .select('requestId')
      .where('id', '=', vote.proposalId)
      .executeTakeFirstOrThrow(() => notFound('proposal'))
    const said = wouldField === '' ? 'vote-taken-back' : 'vote-counted'
    return seeOther(reply, atAnswer(proposal.requestId, vote.proposalId), said)
  })
}
