import { sql } from 'kysely'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifMissing } from '../../../../db/failures.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often, unseen } from '../../../../db/often.ts'
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
const refuseGone = ifMissing(() => notFound('proposal'))

// The request is locked in share, so that it is not withdrawn between the look and the vote.
async function votableProposal(trx: Db, id: string): Promise<void> {
  const found = await trx
    .selectFrom('proposal')
    .innerJoin('request', 'request.id', 'proposal.requestId')
    .select('request.state')
    .where('proposal.id', '=', id)
    .forShare('request')
    .executeTakeFirstOrThrow(() => notFound('proposal'))
  if (found.state === 'withdrawn') throw conflict('The request was withdrawn; there is nothing to vote on any more.')
}

type Counts = Omit<Tally, 'share'>

/** How many rows of votes say yes and how many no, and what the viewer says among them: a value of the rows' group. */
const countsFor = (viewerId: string) => sql<Counts>`json_build_object(
  'yes', count(*) filter (where would_field), 'no', count(*) filter (where not would_field),
  'mine', bool_or(would_field) filter (where member_id = ${viewerId})
)`

/** How the group votes on all files together: of a large group nobody counts all votes for a page. */
const groupVotes = sql<Omit<Counts, 'mine'>>`(select json_build_object('yes', yes, 'no', no) from vote_count)`

/** What a row of `proposal` has to bring for `tallied`. */
export const voteColumns = (viewerId: string) =>
  [
    sql<Counts>`(select ${countsFor(viewerId)} from vote where vote.proposal_id = proposal.id)`.as('votes'),
    groupVotes.as('groupVotes'),
  ] as const

interface Counted {
  votes: Counts
  groupVotes: Omit<Counts, 'mine'>
}

/** How the group has answered for a file, and the viewer with it. */
export const tallied = ({ votes, groupVotes: { yes, no } }: Counted): Tally => ({
  ...votes,
  share: fieldShare(votes.yes, votes.no, groupShareOf(yes, no)),
})

async function tallyOf(trx: Db, proposalId: string, viewerId: string): Promise<Tally> {
  const query = trx.selectFrom('proposal').select([...voteColumns(viewerId)])
  return tallied(await query.where('id', '=', proposalId).executeTakeFirstOrThrow())
}

const nobody: Counts = { yes: 0, no: 0, mine: null }

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
  const [found] = await readStandIns(db, { unitIds, viewerId })
  if (!found) throw new Error('the row of the votes is missing')
  const { rows, ...ofGroup } = found
  const known = new Map(rows.map(({ unitId, fileId, votes }) => [standInKey(unitId, fileId), votes]))
  return (unitId, fileId) => tallied({ votes: known.get(standInKey(unitId, fileId)) ?? nobody, ...ofGroup })
}

const readStandIns = often((db, { unitIds, viewerId }: { unitIds: readonly string[]; viewerId: string }) =>
  db.selectNoFrom([jsonRows(standInVotes(db, unitIds, viewerId)).as('rows'), groupVotes.as('groupVotes')]),
)

const standInKey = (unitId: string, fileId: string) => `${unitId} ${fileId}`

function standInVotes(db: Db, unitIds: readonly string[], viewerId: string) {
  const newest = db
    .selectFrom('vote')
    .innerJoin('proposal', 'proposal.id', 'vote.proposalId')
    .innerJoin('request', 'request.id', 'proposal.requestId')
    .select(['request.unitId', 'proposal.fileId', 'vote.memberId', 'vote.wouldField'])
    .distinctOn(['request.unitId', 'proposal.fileId', 'vote.memberId'])
    .where('request.unitId', '=', sql<string>`any(${unseen(unitIds, 'uuid[]')})`)
    .orderBy('request.unitId')
    .orderBy('proposal.fileId')
    .orderBy('vote.memberId')
    .orderBy('vote.createdAt', 'desc')
  return db
    .selectFrom(newest.as('newest'))
    .select(['unitId', 'fileId', countsFor(viewerId).as('votes')])
    .groupBy(['unitId', 'fileId'])
}
