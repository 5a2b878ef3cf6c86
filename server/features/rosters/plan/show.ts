import type { Db } from '../../../../db/connect.ts'
import type { Group } from '../../../http/group.ts'
import { fromMinor } from '../../../http/money.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { PlannedOffer } from '../../../planning/plan.ts'
import { gapOf } from '../../../planning/plan-result.ts'
import { filesById } from '../../catalogue/files/queries.ts'
import { offersById, type ShownOffer } from '../../catalogue/offers/queries.ts'
import type { Offer } from '../../catalogue/offers/schema.ts'
import { type EntryRow, entriesOf } from '../entries.ts'
import { archiveOffer } from './draw.ts'
import type { ShownPlan } from './schema.ts'
import { plannedEarlier, type StoredPlan, storedPlan } from './stored.ts'
import type { Naive, Outcome } from './stored-schema.ts'
import { unhurried } from './unhurried.ts'
import { uncoveredWords } from './words.ts'

/** What a plan is shown with; a page that shows more has read it together with that. */
export interface Around {
  /** of files, as the viewer may read them */
  titles: ReadonlyMap<string, string>
  offers: ReadonlyMap<string, ShownOffer>
  /** offers that the viewer noted as bought */
  bought: ReadonlySet<string>
  /** entries whose unit is known */
  withUnit: ReadonlySet<string>
}

/** The files that a plan prints from. */
export const filesIn = ({ outcome }: StoredPlan) => [
  ...new Set(outcome.result.plan.entries.map(({ fileId }) => fileId)),
]

/** The offers that a plan buys or uses. */
export const offersIn = ({ outcome }: StoredPlan) =>
  outcome.result.plan.offers.map(({ offerId }) => offerId).filter((id) => id !== archiveOffer)

/**
 * The last plan of a roster that is the viewer's.
 *
 * @param known titles of its files and entries with their unit, where they are read already
 * @throws Problem 404 where it was never planned, 409 where an earlier version planned it
 */
export async function readPlan(
  hurried: Db,
  viewer: Viewer,
  rosterId: string,
  known?: Pick<Around, 'titles' | 'withUnit'>,
): Promise<ShownPlan> {
  const db = unhurried(hurried)
  const stored = await storedPlan(db, rosterId)
  if (!stored) throw notFound('plan')
  if (stored === 'of an earlier version') throw plannedEarlier()
  const offers = await offersById(db, viewer, offersIn(stored))
  return shownPlan(stored, viewer.group, {
    ...(known ?? (await titlesAndUnits(db, viewer, stored))),
    offers: new Map(offers.map((offer) => [offer.id, offer])),
    bought: await boughtAmong(db, viewer, offersIn(stored)),
  })
}

async function titlesAndUnits(db: Db, viewer: Viewer, stored: StoredPlan) {
  const files = await filesById(db, viewer, filesIn(stored))
  const uncovered = stored.outcome.result.plan.uncovered.map(({ entryId }) => entryId)
  const entries = await entriesOf(db, stored.rosterId, uncovered)
  return { titles: titlesOf(files), withUnit: withUnit(entries) }
}

export const titlesOf = (files: readonly { id: string; title: string }[]) =>
  new Map(files.map(({ id, title }) => [id, title]))

export const withUnit = (entries: readonly Pick<EntryRow, 'id' | 'unitId'>[]) =>
  new Set(entries.filter(({ unitId }) => unitId !== null).map(({ id }) => id))

export function shownPlan(stored: StoredPlan, group: Group, around: Around): ShownPlan {
  const { state, outcome, asked, alternatives, outOfDate } = stored
  const { result } = outcome
  const { plan } = result
  const { currency } = group
  const sums = (offersMinor: number, printMinor: number) => sumsOf(currency, offersMinor, printMinor)
  const isDone = state === 'done'
  return {
    ...{ state, outOfDate, asked, alternatives, ended: isDone ? result.ended : null },
    ...{ proven: result.proven, coverProven: result.coverProven, gap: gapNow(stored) },
    progress: state === 'running' ? stored.progress : null,
    offers: offersShown(outcome, around, currency),
    entries: entriesShown(outcome, around, group),
    uncovered: uncoveredShown(stored, around),
    totals: totalsShown(outcome, group),
    theme: plan.styleTag,
    themes: result.themes.map(({ styleTag, offersMinor, printMinor, uncovered, proven, objectiveMinor }) => ({
      ...{ styleTag, ...sums(offersMinor, printMinor), uncovered, proven },
      chosenBy: fromMinor(Math.round(objectiveMinor), currency),
    })),
    naive: outcome.naive.map(({ kind, offersMinor, printMinor, looksMinor, uncovered }) => ({
      ...{ kind: naiveWords[kind], ...sums(offersMinor, printMinor), uncovered },
      looks: fromMinor(looksMinor, currency),
    })),
    ...{ withoutRate: outcome.withoutRate, printer: outcome.printer, crowding: outcome.crowding },
    resin: outcome.resin,
    ...{ startedAt: stored.startedAt.toISOString(), endedAt: stored.endedAt?.toISOString() ?? null },
  }
}

const naiveWords: Record<Naive['kind'], ShownPlan['naive'][number]['kind']> = {
  sticker: 'cheapest file of each',
  cheapest: 'cheapest to print of each',
  preferOwned: 'what there is first',
  greedyStars: 'offer by offer',
  greedyThenDrop: 'offer by offer',
}

/** While it is being solved, of the plan that is shown from the bound as it is by now. */
function gapNow({ state, progress, outcome: { result } }: StoredPlan): number | null {
  if (state !== 'running') return result.gap
  return progress?.phase === 'cost' ? gapOf(result.objectiveMinor, progress.bound) : null
}

export const sumsOf = (currency: string, offersMinor: number, printMinor: number) => ({
  offers: fromMinor(offersMinor, currency),
  printing: fromMinor(printMinor, currency),
  money: fromMinor(offersMinor + printMinor, currency),
})

/** What an offer is called in a list: its own title, or those of its files. */
export const offerTitle = ({ title, kind, files }: Pick<Offer, 'title' | 'kind' | 'files'>) =>
  title ||
  (files.length > 0
    ? files
        .slice(0, 3)
        .map((file) => file.title)
        .join(', ')
    : kind)

function offersShown({ result }: Outcome, { offers, titles, bought }: Around, currency: string): ShownPlan['offers'] {
  return result.plan.offers.map((one) => {
    const files = result.plan.entries.filter(({ offerId }) => offerId === one.offerId).map(({ fileId }) => fileId)
    const offer = offers.get(one.offerId)
    return {
      ...offerShown(one, offer, currency),
      linkWithheld: offer !== undefined && offer.state !== 'withdrawn' && offer.linkHidden,
      opens: one.opens,
      files: [...new Set(files)].map((id) => ({ id, title: titles.get(id) ?? '' })),
      bought: bought.has(one.offerId),
    }
  })
}

function offerShown({ kind, priceMinor }: PlannedOffer, offer: Offer | undefined, currency: string) {
  const price = fromMinor(priceMinor, currency)
  if (!offer)
    return {
      offerId: null,
      kind: 'owned' as const,
      title: 'In your archive',
      price,
      ownPrice: null,
      months: null,
      url: null,
    }
  const { id: offerId, price: ownPrice, url } = offer
  return { offerId, kind, title: offerTitle(offer), price, ownPrice, months: offer.minMonths, url }
}

async function boughtAmong(db: Db, viewer: Viewer, offerIds: string[]): Promise<Set<string>> {
  if (offerIds.length === 0) return new Set()
  const rows = await db
    .selectFrom('rosterPurchase')
    .select('offerId')
    .where('memberId', '=', viewer.id)
    .where('offerId', 'in', offerIds)
    .execute()
  return new Set(rows.map(({ offerId }) => offerId))
}

/** Of what the plan is printed with. */
const gramsPerMlOf = ({ resin }: Outcome, { resinGramsPerMl }: Group) => resin?.gramsPerMl ?? resinGramsPerMl

function entriesShown(outcome: Outcome, { titles }: Around, group: Group): ShownPlan['entries'] {
  const { result, prints } = outcome
  const density = gramsPerMlOf(outcome, group)
  return result.plan.entries.map((entry, index) => {
    const print = prints[index]
    const estimate = print?.estimate ?? null
    const resinMl = print?.resinMl ?? 0
    return {
      ...{ entryId: entry.entryId, fileId: entry.fileId, title: titles.get(entry.fileId) ?? '' },
      ...{ offerId: entry.offerId === archiveOffer ? null : entry.offerId, supportSetId: entry.supportSetId },
      ...{ supportKind: print?.kind ?? 'as supplied', models: entry.models, copies: print?.copies ?? entry.models },
      expectedFailures: print?.expectedFailures ?? 0,
      printing: fromMinor(entry.printMinor, group.currency),
      ...{ hours: estimate?.hours ?? null, plates: estimate?.plates ?? null },
      hoursPerPlate: estimate?.hoursPerPlate ?? null,
      ...{ resinMl: tenth(resinMl), resinG: tenth(resinMl * density), fits: estimate?.fits ?? true },
      share: entry.share,
    }
  })
}

const tenth = (value: number) => Math.round(value * 10) / 10

const uncoveredShown = ({ outcome }: StoredPlan, { withUnit: known }: Around): ShownPlan['uncovered'] =>
  outcome.result.plan.uncovered.map(({ entryId, reason }) => ({
    ...{ entryId, reason },
    words: uncoveredWords(reason, { hasUnit: known.has(entryId), hurdle: outcome.hurdles[entryId] }),
  }))

function totalsShown(outcome: Outcome, group: Group): ShownPlan['totals'] {
  const { result, prints } = outcome
  const { currency } = group
  const { totals } = result.plan
  const sum = (of: (print: Outcome['prints'][number]) => number) => prints.reduce((all, print) => all + of(print), 0)
  const resinMl = sum((print) => print.resinMl)
  // Boxes whose price nobody knows cost something as well.
  const leastSaving = totals.savingMinor === null ? totals.retailMinor - totals.offersMinor - totals.printMinor : 0
  return {
    ...sumsOf(currency, totals.offersMinor, totals.printMinor),
    looks: fromMinor(totals.looksMinor, currency),
    retail: fromMinor(totals.retailMinor, currency),
    withoutRetail: totals.withoutRetail,
    saving: totals.savingMinor === null ? null : fromMinor(totals.savingMinor, currency),
    savingShare: totals.saving,
    savingAtLeast: leastSaving > 0 ? fromMinor(leastSaving, currency) : null,
    plates: sum((print) => print.estimate?.plates ?? 0),
    hours: tenth(sum((print) => print.estimate?.hours ?? 0)),
    ...{ resinMl: tenth(resinMl), resinG: tenth(resinMl * gramsPerMlOf(outcome, group)) },
  }
}
