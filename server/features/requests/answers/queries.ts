import type { Db } from '../../../../db/connect.ts'
import { type Group, groupOf } from '../../../http/group.ts'
import { formatAmount, fromMinor, parseAmount } from '../../../http/money.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { rank } from '../../../scoring/rank.ts'
import { readUnit } from '../../catalogue/units/queries.ts'
import { proposalsOf } from '../proposals/queries.ts'
import { readRequest } from '../requests/queries.ts'
import { standInTallies } from '../votes/queries.ts'
import { answerOf, type Candidate } from './answer.ts'
import { factsFor } from './facts.ts'
import type { Answers } from './schema.ts'

/** What the ranking is asked for. */
export interface AnswersQuestion {
  looks?: string | undefined
  own: 'true' | 'false'
}

/**
 * The files proposed for a request, ranked in money.
 *
 * @throws Problem 404, 422 for looks with too many digits
 */
export async function requestAnswers(db: Db, viewer: Viewer, id: string, question: AnswersQuestion): Promise<Answers> {
  const request = await readRequest(db, viewer, id)
  const proposals = await proposalsOf(db, id, viewer)
  const candidates = proposals.map((proposal) => ({
    fileId: proposal.file.id,
    proposalId: proposal.id,
    votes: proposal.votes,
    covers: proposal.covers,
    missing: request.mustHaves.filter((one) => !proposal.covers.includes(one)),
  }))
  return rankCandidates(db, viewer, candidates, { ...question, wanted: request.wanted })
}

/** Every file known to stand in for a unit, ranked in the same manner. @throws as `requestAnswers` */
export async function unitAnswers(
  db: Db,
  viewer: Viewer,
  id: string,
  question: AnswersQuestion & { wanted?: number | undefined },
): Promise<Answers> {
  const unit = await readUnit(db, id)
  const files = await db.selectFrom('fileUnit').select('fileId').where('unitId', '=', id).execute()
  const tally = await standInTallies(db, [id], viewer.id)
  const candidates = files.map(({ fileId }) => ({
    fileId,
    proposalId: null,
    votes: tally(id, fileId),
    covers: [],
    missing: [],
  }))
  return rankCandidates(db, viewer, candidates, { ...question, wanted: question.wanted ?? unit.modelsPerUnit })
}

async function rankCandidates(
  db: Db,
  viewer: Viewer,
  candidates: Candidate[],
  question: AnswersQuestion & { wanted: number },
): Promise<Answers> {
  const group = await groupOf(db)
  const own = question.own === 'true'
  const looksWorthMinor = readLooks(question.looks, group)
  const terms = { wanted: question.wanted, looksWorthMinor, group, viewer }
  const facts = await factsFor(
    db,
    viewer,
    candidates.map((one) => one.fileId),
    { own, group },
  )
  const answers = candidates.flatMap((candidate) => answerOf(candidate, facts, terms))
  const items = rank(answers).map(({ rank: place, scoreMinor, body }) => ({
    rank: place,
    ...body,
    score: scoreMinor === null ? null : formatAmount(scoreMinor, group.currency),
  }))
  const looksWorth = fromMinor(looksWorthMinor, group.currency)
  const printer = facts.printer && { id: facts.printer.id, name: facts.printer.name }
  return { items, next: null, wanted: question.wanted, looksWorth, own, printer }
}

function readLooks(looks: string | undefined, group: Group): number {
  if (looks === undefined) return group.looksWorthMinor
  const minor = parseAmount(looks, group.currency)
  if (minor === undefined) throw invalid('/looks', `Too many digits for ${group.currency}.`)
  return minor
}
