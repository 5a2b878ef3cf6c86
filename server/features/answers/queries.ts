import type { Db } from '../../../db/connect.ts'
import { baseOf } from '../../http/base.ts'
import { type Group, groupOf } from '../../http/group.ts'
import { formatAmount, fromMinor, parseAmount } from '../../http/money.ts'
import { invalid } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { printEstimate, usualMachine } from '../../planning/printing.ts'
import type { CostToTable } from '../../scoring/cost.ts'
import { summaryOf } from '../../scoring/draws.ts'
import { looksMinor, rank } from '../../scoring/rank.ts'
import type { LineSuccess } from '../evidence/queries.ts'
import { shownWords, writerOf } from '../files/own-words.ts'
import { discreet, shownSculptor, shownTitle } from '../files/rules.ts'
import { proposalsOf } from '../proposals/queries.ts'
import { readRequest } from '../requests/queries.ts'
import { readUnit } from '../units/queries.ts'
import { standInTallies } from '../votes/queries.ts'
import type { Tally } from '../votes/schema.ts'
import { type Facts, type FileFacts, factsFor, printFacts, type SnagFacts } from './facts.ts'
import { cheapestPrint, type PricedPrint, wholeCost } from './price.ts'
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

interface Terms {
  wanted: number
  looksWorthMinor: number
  group: Group
  viewer: Viewer
}

/** One file as an answer, with the support set that costs least; nothing for a file that is gone. */
function answerOf(candidate: Candidate, facts: Facts, terms: Terms) {
  const file = facts.files.get(candidate.fileId)
  const print =
    file && cheapestPrint(printFacts(facts, file.id), successOf(facts, file.id), terms.wanted, facts.pricing)
  if (!print) return []
  const { group, viewer } = terms
  const snags = shownSnags(facts.snags.get(file.id) ?? [], file, viewer)
  const has = { inArchive: facts.archive.has(file.id), memberships: facts.memberships }
  const found = cheapestWay(facts.offers.get(file.id) ?? [], has, facts.exchange)
  const obtainable = typeof found !== 'string'
  const way: Way = obtainable ? found : { offer: null, priceMinor: 0, owned: false }
  const cost = wholeCost(print, way.priceMinor)
  const looks = looksMinor(terms.wanted, terms.looksWorthMinor, candidate.votes.share)
  const blockedBy = snags
    .filter((snag) => snag.severity === 'blocks')
    .map((snag) => ({ snagId: snag.id, kind: snag.kind, part: snag.part }))
  const body = {
    proposalId: candidate.proposalId,
    file: shownFile(file, viewer),
    obtainable,
    whyNotObtainable: obtainable ? null : found,
    offer: way.offer,
    owned: way.owned,
    ...shownCost({ cost, looks, obtainable, currency: group.currency }),
    resinMl: { perCopy: print.resinMlPerCopy, assumed: file.resinMl === null },
    printing: printingOf(print, cost, facts, file),
    comesOut: summaryOf(print.success),
    printSuccess: shownSuccess(print.line),
    votes: candidate.votes,
    blockedBy,
    snags: snags as Answer['snags'],
    covers: candidate.covers,
    missing: candidate.missing,
  }
  const sortBy = { id: file.id, title: body.file.title, obtainable, blocked: blockedBy.length > 0 }
  const { costToTableMinor } = cost
  return [{ ...sortBy, missing: candidate.missing.length, costToTableMinor, looksMinor: looks, body }]
}

const successOf = ({ success }: Facts, fileId: string) => success.get(fileId) ?? []

/** What there is to print: whole copies, on whole plates. */
function printingOf(print: PricedPrint, cost: CostToTable, { printer }: Facts, { heightMm }: FileFacts) {
  const { attemptsPerGood, expectedFailures, expectedPlates } = cost
  const task = { models: print.question.wanted, attemptsPerGood, heightMm, copiesPerPlate: print.copiesPerPlate }
  const { copies, plates, hours, fits } = printEstimate(task, printer ?? usualMachine)
  const resinMl = Math.round(10 * copies * print.resinMlPerCopy) / 10
  return { copies, plates, hours, resinMl, fits, expectedFailures, expectedPlates }
}

const shownSnags = (snags: SnagFacts[], file: FileFacts, viewer: Viewer) =>
  snags.map(({ fileId: _, createdBy, othersWords, ...snag }) => ({
    ...snag,
    part: discreet(snag.part, file, viewer, writerOf({ createdBy, othersWords }, 'part')),
    detail: discreet(snag.detail, file, viewer, writerOf({ createdBy, othersWords }, 'detail')),
  }))

function shownFile(file: FileFacts, viewer: Viewer): Answer['file'] {
  const { id, scaleMm, heightMm } = file
  const { id: sculptorId, name } = shownSculptor(file, viewer)
  return {
    ...{ id, title: shownTitle(file, viewer), sculptor: { id: sculptorId, name } },
    ...{ scaleMm, base: baseOf(file), heightMm },
    ...{ options: shownWords(file, 'options', viewer), styleTags: shownWords(file, 'styleTags', viewer) },
  }
}

interface Shown {
  cost: CostToTable
  looks: number
  obtainable: boolean
  currency: string
}

/** What can't be had has no price, and so no sum with a price in it. */
function shownCost({ cost, looks, obtainable, currency }: Shown) {
  const amount = (minor: number) => formatAmount(minor, currency)
  return {
    costToTable: obtainable ? fromMinor(cost.costToTableMinor, currency) : null,
    badLuckCost: obtainable ? fromMinor(cost.badLuckCostMinor, currency) : null,
    breakdown: {
      price: obtainable ? amount(cost.priceMinor) : null,
      resinForGood: amount(cost.resinForGoodMinor),
      plates: amount(cost.platesMinor),
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
