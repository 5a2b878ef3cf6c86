import { baseOf } from '../../../http/base.ts'
import type { Group } from '../../../http/group.ts'
import { formatAmount, fromMinor } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import { printEstimate, usualMachine } from '../../../planning/printing.ts'
import type { CostToTable } from '../../../scoring/cost.ts'
import type { Summary } from '../../../scoring/draws.ts'
import { summaryOf } from '../../../scoring/draws.ts'
import { oncePerRow } from '../../../scoring/once.ts'
import { looksMinor } from '../../../scoring/rank.ts'
import { discreet, shownFace, shownSculptor, shownTitle } from '../../catalogue/files/rules.ts'
import { shownWords, writerOf } from '../../catalogue/sculptors/own-words.ts'
import type { Tally } from '../votes/schema.ts'
import type { Facts, FileFacts } from './facts.ts'
import { type PricedPrint, wholeCost } from './price.ts'
import { stopsPrint } from './rules.ts'
import type { Answer } from './schema.ts'
import { tabled } from './tabled.ts'

/** A file that may answer, with what only the request knows of it. */
export interface Candidate {
  fileId: string
  proposalId: string | null
  votes: Tally
  covers: string[]
  missing: string[]
}

interface Terms {
  wanted: number
  looksWorthMinor: number
  group: Group
  viewer: Viewer
}

/** One file as an answer, with the support set that costs least; nothing for a file that is gone. */
export function answerOf(candidate: Candidate, facts: Facts, terms: Terms) {
  const file = facts.files.get(candidate.fileId)
  const found = file && tabled(facts, file, terms.wanted)
  if (!found) return []
  const { print, way, whyNot } = found
  const obtainable = whyNot === null
  const { group, viewer } = terms
  const snags = shownSnags(file, viewer)
  const cost = wholeCost(print, way.priceMinor)
  // The draws are for reckoning: a page that is handed them would look through all of them for each answer.
  const { draws: _, ...printSuccess } = print.line
  const looks = looksMinor(terms.wanted, terms.looksWorthMinor, candidate.votes.share)
  const blockedBy = snags.filter(stopsPrint).map((snag) => ({ snagId: snag.id, kind: snag.kind, part: snag.part }))
  const body = {
    proposalId: candidate.proposalId,
    file: shownFile(file, viewer),
    obtainable,
    whyNotObtainable: whyNot,
    offer: way.offer,
    owned: way.owned,
    ...shownCost({ cost, looks, obtainable, currency: group.currency }),
    resinMl: { perCopy: print.resinMlPerCopy, assumed: file.resinMl === null },
    printing: printingOf(print, cost, facts, file),
    comesOut: comesOut([print.success], () => summaryOf(print.success)),
    printSuccess,
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

const comesOut = oncePerRow<Summary>()

/** What there is to print: whole copies, on whole plates. */
function printingOf(print: PricedPrint, cost: CostToTable, { printer }: Facts, { heightMm }: FileFacts) {
  const { attemptsPerGood, expectedFailures, expectedPlates } = cost
  const task = { models: print.input.wanted, attemptsPerGood, heightMm, copiesPerPlate: print.copiesPerPlate }
  const { copies, plates, hours, fits } = printEstimate(task, printer ?? usualMachine)
  const resinMl = Math.round(10 * copies * print.resinMlPerCopy) / 10
  return { copies, plates, hours, resinMl, fits, expectedFailures, expectedPlates }
}

const shownSnags = (file: FileFacts, viewer: Viewer) =>
  file.snags.map(({ createdBy, othersWords, ...snag }) => ({
    ...snag,
    part: discreet(snag.part, file, viewer, writerOf({ createdBy, othersWords }, 'part')),
    detail: discreet(snag.detail, file, viewer, writerOf({ createdBy, othersWords }, 'detail')),
  }))

function shownFile(file: FileFacts, viewer: Viewer): Answer['file'] {
  const { id, scaleMm, heightMm, shadow = null, face = null } = file
  const { id: sculptorId, name } = shownSculptor(file, viewer)
  return {
    id,
    title: shownTitle(file, viewer),
    sculptor: { id: sculptorId, name },
    scaleMm,
    base: baseOf(file),
    heightMm,
    face: shownFace(face, file, viewer),
    options: shownWords(file, 'options', viewer),
    styleTags: shownWords(file, 'styleTags', viewer),
    shadow,
  }
}

interface Shown {
  cost: CostToTable
  looks: number
  obtainable: boolean
  currency: string
}

/** What can't be had has no price, and so no sum with a price in it. @param looks in minor units; 0 where nobody asks */
export function shownCost({ cost, looks, obtainable, currency }: Shown) {
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
