import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../../../db/connect.ts'
import { ifTaken } from '../../../../db/failures.ts'
import { often, unseen } from '../../../../db/often.ts'
import { mayChange } from '../../../http/access.ts'
import { conflict, forbidden, invalid, notFound, under } from '../../../http/problem.ts'
import { addRow, rowOf } from '../../../http/rows.ts'
import type { Viewer } from '../../../http/session.ts'
import { addFile } from '../../catalogue/files/changes.ts'
import { discreet, sculptorColumns, shownTitle } from '../../catalogue/files/rules.ts'
import { requestToChange } from '../requests/queries.ts'
import { tallied, voteColumns } from '../votes/queries.ts'
import type { NewProposal, Proposal } from './schema.ts'

const proposals = (db: Db, viewerId: string) =>
  db
    .selectFrom('proposal')
    .innerJoin('file', 'file.id', 'proposal.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .innerJoin('member', 'member.id', 'proposal.proposerId')
    .select(['proposal.id', 'requestId', 'fileId', 'file.title', 'proposerId', 'member.name as proposer', 'covers'])
    .select(['proposal.remark', 'proposal.createdAt', ...sculptorColumns, ...voteColumns(viewerId)])

type Row = Awaited<ReturnType<ReturnType<typeof proposals>['executeTakeFirstOrThrow']>>

const shown = (row: Row, viewer: Viewer): Proposal => ({
  id: row.id,
  requestId: row.requestId,
  file: { id: row.fileId, title: shownTitle(row, viewer) },
  proposer: { id: row.proposerId, name: row.proposer },
  covers: row.covers,
  remark: discreet(row.remark, row, viewer, row.proposerId),
  votes: tallied(row),
  createdAt: row.createdAt.toISOString(),
})

/** Every proposal of a request, oldest first. */
export async function proposalsOf(db: Db, requestId: string, viewer: Viewer): Promise<Proposal[]> {
  const rows = await proposalsOfRequest(db, { requestId, viewerId: viewer.id })
  return rows.map((row) => shown(row, viewer))
}

const proposalsOfRequest = often((db, { requestId, viewerId }: { requestId: string; viewerId: string }) =>
  proposals(db, viewerId).where('requestId', '=', unseen(requestId, 'uuid')).orderBy('proposal.id'),
)

/** @throws Problem 404 */
export async function readProposal(db: Db, id: string, viewer: Viewer): Promise<Proposal> {
  const row = await proposals(db, viewer.id).where('proposal.id', '=', id).executeTakeFirst()
  if (!row) throw notFound('proposal')
  return shown(row, viewer)
}

/**
 * Proposes a file for an open request, and notes that it stands in for the unit.
 *
 * @throws Problem 404, 409 when the request is closed or has this file already, 422 for an unknown file or a must-have
 *   that the request does not have
 */
export async function propose(db: Db, viewer: Viewer, requestId: string, body: NewProposal): Promise<Proposal> {
  return inTransaction(db, async (trx) => {
    const request = await requestToChange(trx, requestId)
    if (request.state !== 'open') throw conflict(`The request is ${request.state}; it takes no more proposals.`)
    const stranger = body.covers.find((one) => !request.mustHaves.includes(one))
    if (stranger !== undefined) throw invalid('/covers', `The request does not ask for “${stranger}”.`)
    const { file, covers, remark } = body
    const fileId = file
      ? (await under('/file', () => addFile(trx, viewer, file))).id
      : (await rowOf(trx, 'file', body.fileId ?? '', ['id'], noSuchFile)).id
    const id = v7()
    const row = { id, requestId, fileId, proposerId: viewer.id, covers, remark }
    await addRow(trx, 'proposal', row).catch(refuseTwin)
    await trx
      .insertInto('fileUnit')
      .values({ fileId, unitId: request.unitId })
      .onConflict((c) => c.doNothing())
      .execute()
    return readProposal(trx, id, viewer)
  })
}

/** Takes a proposal back while the request is open: its proposer or a steward. @throws Problem 403, 404, 409 */
export async function takeProposalBack(db: Db, viewer: Viewer, id: string): Promise<void> {
  await inTransaction(db, async (trx) => {
    const proposal = await readProposal(trx, id, viewer)
    if (!mayChange(viewer, proposal.proposer.id))
      throw forbidden('Only whoever made a proposal, or a steward, can take it back.')
    const { state } = await requestToChange(trx, proposal.requestId)
    if (state !== 'open') throw conflict(`The request is ${state}; its proposals stay as they are.`)
    await trx.deleteFrom('proposal').where('id', '=', id).execute()
  })
}

const noSuchFile = () => invalid('/fileId', 'There is no such file.')

const refuseTwin = ifTaken(() => conflict('This file has already been proposed for this request.'))
