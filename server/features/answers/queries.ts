import type { Db } from '../../../db/connect.ts'
import { baseOf } from '../../http/base.ts'
import { type Group, groupOf } from '../../http/group.ts'
import { formatAmount, fromMinor, parseAmount } from '../../http/money.ts'
import { invalid } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import type { Shape } from '../../scoring/beta.ts'
import { type CostToTable, costToTable } from '../../scoring/cost.ts'
import { looksMinor, rank } from '../../scoring/rank.ts'
import type { LineSuccess } from '../evidence/queries.ts'
import { shownWords, writerOf } from '../files/own-words.ts'
import { discreet, shownSculptor, shownTitle } from '../files/rules.ts'
import { proposalsOf } from '../proposals/queries.ts'
import { readRequest } from '../requests/queries.ts'
import { readUnit } from '../units/queries.ts'
import { unitTallies } from '../votes/queries.ts'
import { fieldShare } from '../votes/rules.ts'
import type { Tally } from '../votes/schema.ts'
import { type Facts, type FileFacts, factsFor, type SnagFacts } from './facts.ts'
import { cheapestWay, type Way } from './rules.ts'
import type { Answer, Answers } from './schema.ts'

/** What the ranking is asked for. */
export interface AnswersQuestion {
  looks?: string | undefined
  own: 'true' | 'false'
}

/** A file that may answer, with what only the question knows of it. */
interface Candidate {
  fileId: string
  proposalId: string | null
  votes: Tally
  covers: string[]
  missing: string[]
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
  const votes = await unitTallies(db, id, viewer.id)
  const candidates = files.map(({ fileId }) => ({
    fileId,
    proposalId: null,
    votes: votes.get(fileId) ?? { yes: 0, no: 0, share: fieldShare(0, 0), mine: null },
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
    score: formatAmount(scoreMinor, group.currency),
  }))
  const looksWorth = fromMinor(looksWorthMinor, group.currency)
  return { items, next: null, wanted: question.wanted, looksWorth, own }
}

function readLooks(looks: string | undefined, group: Group): number {
  if (looks === undefined) return group.looksWorthMinor
  const minor = parseAmount(looks, group.currency)
  if (minor === undefined) throw invalid('/looks', `Too many digits for ${group.currency}.`)
  return minor
}

interface Terms {
  wanted: number
  looksWorthMinor: number
  group: Group
  viewer: Viewer
}

/** One file as an answer, with the support set that costs least; nothing for a file that is gone. */
function answerOf(candidate: Candidate, facts: Facts, terms: Terms) {
  const file = facts.files.get(candidate.fileId)
  if (!file) return []
  const { group } = terms
  const snags = shownSnags(facts.snags.get(file.id) ?? [], file, terms.viewer)
  const has = { inArchive: facts.archive.has(file.id), memberships: facts.memberships }
  const found = cheapestWay(facts.offers.get(file.id) ?? [], has, facts.exchange)
  const way: Way = typeof found === 'string' ? { offer: null, priceMinor: 0, owned: false } : found
  const resinMl = file.resinMl ?? group.resinMlPerModel
  const best = cheapestLine(facts.success.get(file.id) ?? [], (line) =>
    costToTable({
      wanted: terms.wanted,
      priceMinor: way.priceMinor,
      resinMlPerCopy: resinMl,
      densityGPerMl: group.resinGramsPerMl,
      resinPricePerKgMinor: group.resinPricePerKgMinor,
      cleanUpPerFailedCopyMinor: group.cleanUpMinor,
      snagMinutes: snags.reduce((sum, snag) => sum + (snag.minutes ?? 0), 0),
      timePerHourMinor: group.timePerHourMinor,
      shapes: [line.shape, facts.machine, facts.plate] satisfies Shape[],
    }),
  )
  if (!best) return []
  const looks = looksMinor(terms.wanted, terms.looksWorthMinor, candidate.votes.share)
  const blockedBy = snags
    .filter((snag) => snag.severity === 'blocks')
    .map((snag) => ({ snagId: snag.id, kind: snag.kind, part: snag.part }))
  const body = {
    proposalId: candidate.proposalId,
    file: shownFile(file, terms.viewer),
    obtainable: typeof found !== 'string',
    whyNotObtainable: typeof found === 'string' ? found : null,
    offer: way.offer,
    owned: way.owned,
    ...shownCost(best.cost, looks, group.currency),
    resinMl: { perCopy: resinMl, assumed: file.resinMl === null },
    printSuccess: shownSuccess(best.line),
    votes: candidate.votes,
    blockedBy,
    snags: snags as Answer['snags'],
    covers: candidate.covers,
    missing: candidate.missing,
  }
  const { costToTableMinor } = best.cost
  const sortBy = { id: file.id, title: body.file.title, obtainable: body.obtainable, blocked: blockedBy.length > 0 }
  return [{ ...sortBy, costToTableMinor, looksMinor: looks, body }]
}

const shownSnags = (snags: SnagFacts[], file: FileFacts, viewer: Viewer) =>
  snags.map(({ fileId: _, createdBy, othersWords, ...snag }) => ({
    ...snag,
    part: discreet(snag.part, file, viewer, writerOf({ createdBy, othersWords }, 'part')),
    detail: discreet(snag.detail, file, viewer, writerOf({ createdBy, othersWords }, 'detail')),
  }))

function cheapestLine(lines: LineSuccess[], price: (line: LineSuccess) => CostToTable) {
  const priced = lines.map((line) => ({ line, cost: price(line) }))
  const [first, ...others] = priced
  return (
    first && others.reduce((best, one) => (one.cost.costToTableMinor < best.cost.costToTableMinor ? one : best), first)
  )
}

function shownFile(file: FileFacts, viewer: Viewer): Answer['file'] {
  const { id, scaleMm, heightMm } = file
  const { id: sculptorId, name } = shownSculptor(file, viewer)
  return {
    ...{ id, title: shownTitle(file, viewer), sculptor: { id: sculptorId, name } },
    ...{ scaleMm, base: baseOf(file), heightMm },
    ...{ options: shownWords(file, 'options', viewer), styleTags: shownWords(file, 'styleTags', viewer) },
  }
}

function shownCost(cost: CostToTable, looks: number, currency: string) {
  const amount = (minor: number) => formatAmount(minor, currency)
  return {
    costToTable: fromMinor(cost.costToTableMinor, currency),
    badLuckCost: fromMinor(cost.badLuckCostMinor, currency),
    breakdown: {
      price: amount(cost.priceMinor),
      resinForGood: amount(cost.resinForGoodMinor),
      failures: amount(cost.failuresMinor),
      snagTime: amount(cost.snagTimeMinor),
      looks: amount(looks),
    },
    attemptsPerGood: cost.attemptsPerGood,
    badLuckFailures: cost.badLuckFailures,
  }
}

const shownSuccess = ({ mean, low, high, copies, basis, supportSetId, kind, cantTell }: LineSuccess) => ({
  ...{ mean, low, high, copies, basis, supportSetId, kind, cantTell },
})
