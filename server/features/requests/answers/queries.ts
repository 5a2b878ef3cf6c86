import type { Db } from '../../../../db/connect.ts'
import type { Group } from '../../../http/group.ts'
import { formatAmount, fromMinor, parseAmount } from '../../../http/money.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { rank } from '../../../scoring/rank.ts'
import type { Unit } from '../../catalogue/units/schema.ts'
import { proposalsOf } from '../proposals/queries.ts'
import { readRequest } from '../requests/queries.ts'
import { standInTallies } from '../votes/queries.ts'
import { answerOf, type Candidate } from './answer.ts'
import { type Facts, factsFor } from './facts.ts'
import type { Answers } from './schema.ts'

/** What the ranking is asked for. */
export interface AnswersQuery {
  looks?: string | undefined
  own: 'true' | 'false'
}

/** The ranked answers, and what they were worked out from: a page that shows it has no need to ask again. */
interface Ranked {
  answers: Answers
  facts: Facts
}

/** The files proposed for a request, ranked in money. @throws Problem 404, 422 for looks with too many digits */
export async function requestAnswers(db: Db, viewer: Viewer, id: string, asked: AnswersQuery) {
  const request = await readRequest(db, viewer, id)
  const proposals = await proposalsOf(db, id, viewer)
  const candidates = proposals.map((proposal) => ({
    fileId: proposal.file.id,
    proposalId: proposal.id,
    votes: proposal.votes,
    covers: proposal.covers,
    missing: request.mustHaves.filter((one) => !proposal.covers.includes(one)),
  }))
  const own = asked.own === 'true'
  const facts = await factsFor(db, viewer, { ids: candidates.map(({ fileId }) => fileId) }, { own, drawn: true })
  const answers = rankCandidates(viewer, candidates, facts, { ...asked, wanted: request.wanted })
  return { request, proposals, answers, facts }
}

/**
 * Every file known to stand in for a unit, ranked in the same manner.
 *
 * @param asked with `doubts` whether `cantTell` is shown
 * @throws as `requestAnswers`, except 404
 */
export async function unitAnswers(
  db: Db,
  viewer: Viewer,
  { id, modelsPerUnit }: Pick<Unit, 'id' | 'modelsPerUnit'>,
  { doubts = false, ...asked }: AnswersQuery & { wanted?: number | undefined; doubts?: boolean },
): Promise<Ranked> {
  const facts = await factsFor(db, viewer, { unitIds: [id] }, { own: asked.own === 'true', doubts, drawn: true })
  const tally = await standInTallies(db, [id], viewer.id)
  const candidates = [...facts.files.keys()].map((fileId) => ({
    fileId,
    proposalId: null,
    votes: tally(id, fileId),
    covers: [],
    missing: [],
  }))
  const answers = rankCandidates(viewer, candidates, facts, { ...asked, wanted: asked.wanted ?? modelsPerUnit })
  return { answers, facts }
}

function rankCandidates(
  viewer: Viewer,
  candidates: Candidate[],
  facts: Facts,
  asked: AnswersQuery & { wanted: number },
): Answers {
  const { group } = viewer
  const looksWorthMinor = readLooks(asked.looks, group)
  const terms = { wanted: asked.wanted, looksWorthMinor, group, viewer }
  const answers = candidates.flatMap((candidate) => answerOf(candidate, facts, terms))
  const items = rank(answers).map(({ rank: place, scoreMinor, body }) => ({
    rank: place,
    ...body,
    score: scoreMinor === null ? null : formatAmount(scoreMinor, group.currency),
  }))
  const looksWorth = fromMinor(looksWorthMinor, group.currency)
  const printer = facts.printer && { id: facts.printer.id, name: facts.printer.name }
  return {
    items,
    next: null,
    wanted: asked.wanted,
    looksWorth,
    own: asked.own === 'true',
    printer,
    resin: facts.resin,
  }
}

function readLooks(looks: string | undefined, group: Group): number {
  if (looks === undefined) return group.looksWorthMinor
  const minor = parseAmount(looks, group.currency)
  if (minor === undefined) throw invalid('/looks', `Too many digits after the point for ${group.currency}.`)
  return minor
}
