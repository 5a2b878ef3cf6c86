import { type Db, inTransaction } from '../../../db/connect.ts'
import { isMissingReference } from '../../../db/failures.ts'
import { conflict, notFound } from '../../http/problem.ts'
import { fieldShare } from './rules.ts'
import type { Tally } from './schema.ts'

/**
 * Records the answer; the last one counts.
 *
 * @returns the new tally
 * @throws Problem 404 without such a proposal, 409 on a withdrawn request
 */
export async function castVote(db: Db, vote: { proposalId: string; memberId: string; wouldField: boolean }) {
  return inTransaction(db, async (trx) => {
    await votableProposal(trx, vote.proposalId)
    await trx
      .insertInto('vote')
      .values(vote)
      .onConflict((c) =>
        c.columns(['proposalId', 'memberId']).doUpdateSet({ wouldField: vote.wouldField, createdAt: new Date() }),
      )
      .execute()
      .catch(refuseGone)
    return tallyOf(trx, vote.proposalId, vote.memberId)
  })
}

/** Takes an answer back; nothing happens where there was none. @throws Problem 404, 409 as `castVote` */
export async function takeVoteBack(db: Db, vote: { proposalId: string; memberId: string }): Promise<Tally> {
  return inTransaction(db, async (trx) => {
    await votableProposal(trx, vote.proposalId)
    await trx
      .deleteFrom('vote')
      .where('proposalId', '=', vote.proposalId)
      .where('memberId', '=', vote.memberId)
      .execute()
    return tallyOf(trx, vote.proposalId, vote.memberId)
  })
}

/** The proposal was taken back between the look and the vote. */
function refuseGone(error: unknown): never {
  if (isMissingReference(error)) throw notFound('proposal')
  throw error
}

// The request is locked in share, so that it is not withdrawn between the look and the vote.
async function votableProposal(trx: Db, id: string): Promise<void> {
  const found = await trx
    .selectFrom('proposal')
    .innerJoin('request', 'request.id', 'proposal.requestId')
    .select('request.state')
    .where('proposal.id', '=', id)
    .forShare('request')
    .executeTakeFirst()
  if (!found) throw notFound('proposal')
  if (found.state === 'withdrawn') throw conflict('The request was withdrawn; there is nothing to vote on any more.')
}

/** How the group has answered for one proposal, and the viewer with it. */
export async function tallyOf(db: Db, proposalId: string, viewerId: string): Promise<Tally> {
  return (await tallies(db, [proposalId], viewerId)).get(proposalId) ?? noVotes()
}

const noVotes = (): Tally => ({ yes: 0, no: 0, share: fieldShare(0, 0), mine: null })

/** The tallies of several proposals, by proposal; one that nobody has answered is not in it. */
export async function tallies(db: Db, proposalIds: string[], viewerId: string): Promise<Map<string, Tally>> {
  if (proposalIds.length === 0) return new Map()
  const rows = await db
    .selectFrom('vote')
    .select((eb) => [
      'proposalId',
      eb.fn.countAll<number>().filterWhere('wouldField', '=', true).as('yes'),
      eb.fn.countAll<number>().filterWhere('wouldField', '=', false).as('no'),
      eb.fn.agg<boolean | null>('bool_or', ['wouldField']).filterWhere('memberId', '=', viewerId).as('mine'),
    ])
    .where('proposalId', 'in', proposalIds)
    .groupBy('proposalId')
    .execute()
  return new Map(rows.map(({ proposalId, ...row }) => [proposalId, { ...row, share: fieldShare(row.yes, row.no) }]))
}

/** How the group has answered for files as stand-ins for one unit: each member's newest answer in any request for it. */
export async function unitTallies(db: Db, unitId: string, viewerId: string): Promise<Map<string, Tally>> {
  const rows = await db
    .with('newest', (cte) =>
      cte
        .selectFrom('vote')
        .innerJoin('proposal', 'proposal.id', 'vote.proposalId')
        .innerJoin('request', 'request.id', 'proposal.requestId')
        .select(['proposal.fileId', 'vote.memberId', 'vote.wouldField'])
        .distinctOn(['proposal.fileId', 'vote.memberId'])
        .where('request.unitId', '=', unitId)
        .orderBy('proposal.fileId')
        .orderBy('vote.memberId')
        .orderBy('vote.createdAt', 'desc'),
    )
    .selectFrom('newest')
    .select((eb) => [
      'fileId',
      eb.fn.countAll<number>().filterWhere('wouldField', '=', true).as('yes'),
      eb.fn.countAll<number>().filterWhere('wouldField', '=', false).as('no'),
      eb.fn.agg<boolean | null>('bool_or', ['wouldField']).filterWhere('memberId', '=', viewerId).as('mine'),
    ])
    .groupBy('fileId')
    .execute()
  return new Map(rows.map(({ fileId, ...row }) => [fileId, { ...row, share: fieldShare(row.yes, row.no) }]))
}
