import { type Db, inTransaction } from '../../../../db/connect.ts'
import { isMissingReference } from '../../../../db/failures.ts'
import { conflict, notFound } from '../../../http/problem.ts'
import { fieldShare, groupShareOf } from './rules.ts'
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
  return (await tallies(db, [proposalId], viewerId))(proposalId)
}

/** The tallies of several proposals, by proposal. */
export async function tallies(db: Db, proposalIds: string[], viewerId: string): Promise<(proposalId: string) => Tally> {
  if (proposalIds.length === 0) return withShares(new Map(), await groupShare(db))
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
  const known = new Map(rows.map(({ proposalId, ...row }) => [proposalId, row]))
  return withShares(known, await groupShare(db))
}

/** How the group votes on all files together. */
async function groupShare(db: Db): Promise<number> {
  const { yes, no } = await db
    .selectFrom('vote')
    .select((eb) => [
      eb.fn.countAll<number>().filterWhere('wouldField', '=', true).as('yes'),
      eb.fn.countAll<number>().filterWhere('wouldField', '=', false).as('no'),
    ])
    .executeTakeFirstOrThrow()
  return groupShareOf(yes, no)
}

const nobody: Omit<Tally, 'share'> = { yes: 0, no: 0, mine: null }

function withShares(known: ReadonlyMap<string, Omit<Tally, 'share'>>, ofGroup: number): (key: string) => Tally {
  return (key) => {
    const votes = known.get(key) ?? nobody
    return { ...votes, share: fieldShare(votes.yes, votes.no, ofGroup) }
  }
}

/**
 * How the group has answered for files as stand-ins for units: each member's newest answer in any request for the unit.
 *
 * @returns by unit and file
 */
export async function standInTallies(
  db: Db,
  unitIds: readonly string[],
  viewerId: string,
): Promise<(unitId: string, fileId: string) => Tally> {
  const known = new Map(unitIds.length === 0 ? [] : await newestVotes(db, unitIds, viewerId))
  const tally = withShares(known, await groupShare(db))
  return (unitId, fileId) => tally(standInKey(unitId, fileId))
}

const standInKey = (unitId: string, fileId: string) => `${unitId} ${fileId}`

async function newestVotes(db: Db, unitIds: readonly string[], viewerId: string) {
  const rows = await db
    .with('newest', (cte) =>
      cte
        .selectFrom('vote')
        .innerJoin('proposal', 'proposal.id', 'vote.proposalId')
        .innerJoin('request', 'request.id', 'proposal.requestId')
        .select(['request.unitId', 'proposal.fileId', 'vote.memberId', 'vote.wouldField'])
        .distinctOn(['request.unitId', 'proposal.fileId', 'vote.memberId'])
        .where('request.unitId', 'in', unitIds)
        .orderBy('request.unitId')
        .orderBy('proposal.fileId')
        .orderBy('vote.memberId')
        .orderBy('vote.createdAt', 'desc'),
    )
    .selectFrom('newest')
    .select((eb) => [
      'unitId',
      'fileId',
      eb.fn.countAll<number>().filterWhere('wouldField', '=', true).as('yes'),
      eb.fn.countAll<number>().filterWhere('wouldField', '=', false).as('no'),
      eb.fn.agg<boolean | null>('bool_or', ['wouldField']).filterWhere('memberId', '=', viewerId).as('mine'),
    ])
    .groupBy(['unitId', 'fileId'])
    .execute()
  return rows.map(({ unitId, fileId, ...row }) => [standInKey(unitId, fileId), row] as const)
}
