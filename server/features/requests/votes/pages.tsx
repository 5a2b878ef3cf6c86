import { z } from 'zod'
import { seeOther } from '../../../http/page.tsx'
import { invalid } from '../../../http/problem.ts'
import { type App, withId } from '../../../http/route.ts'
import { rowOf } from '../../../http/rows.ts'
import { atAnswer } from '../requests/at-answer.ts'
import { castVote, takeVoteBack } from './queries.ts'

const ballot = z.object({ wouldField: z.enum(['true', 'false', '']) })

/** The two buttons under each answer; they lead back to where the answer stands. */
export function votePages(app: App): void {
  app.post('/proposals/:id/vote', withId, async ({ db, member, params, body }, reply) => {
    const parsed = ballot.safeParse(body)
    if (!parsed.success) throw invalid('/wouldField', 'Yes or no?')
    const vote = { proposalId: params.id, memberId: member.id }
    const { wouldField } = parsed.data
    if (wouldField === '') await takeVoteBack(db, vote)
    else await castVote(db, { ...vote, wouldField: wouldField === 'true' })
    const proposal = await rowOf(db, 'proposal', vote.proposalId, ['requestId'])
    const said = wouldField === '' ? 'vote-taken-back' : 'vote-counted'
    return seeOther(reply, atAnswer(proposal.requestId, vote.proposalId), said)
  })
}
