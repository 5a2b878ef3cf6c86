import type { Group } from '../../../http/group.ts'
import { fromMinor } from '../../../http/money.ts'
import type { PlannedOffer } from '../../../planning/plan.ts'
import { gapOf } from '../../../planning/plan-result.ts'
import type { Offer } from '../../catalogue/offers/schema.ts'
import { type Around, gramsPerMlOf, isOtherResin, lacksSome, type Now, nowOf, sumsOf, tenth } from './now.ts'
import type { ShownPlan } from './schema.ts'
import type { StoredPlan } from './stored.ts'
import { archiveOffer, type Naive, type Outcome } from './stored-schema.ts'
import { totalsShown } from './totals.ts'
import { uncoveredWords } from './words.ts'

/** The files that a plan prints from. */
export const filesIn = ({ outcome }: StoredPlan) => [
  ...new Set(outcome.result.plan.entries.map(({ fileId }) => fileId)),
]

/** Those, and the ones that it names besides. */
export const filesNamed = (stored: StoredPlan) => [
  ...new Set([...filesIn(stored), ...stored.outcome.tooLarge.map(({ fileId }) => fileId)]),
]

/** The offers that a plan buys or uses. */
export const offersIn = ({ outcome }: StoredPlan) =>
  outcome.result.plan.offers.map(({ offerId }) => offerId).filter((id) => id !== archiveOffer)

export const titlesOf = (files: readonly { id: string; title: string }[]) =>
  new Map(files.map(({ id, title }) => [id, title]))

export function shownPlan(stored: StoredPlan, group: Group, around: Around): ShownPlan {
  const { state, outcome, asked, alternatives } = stored
  const { result } = outcome
  const { currency } = group
  const isDone = state === 'done'
  const now = nowOf(outcome, around)
  return {
    state,
    asked,
    alternatives,
    ended: isDone ? result.ended : null,
    outOfDate: stored.outOfDate || lacksSome(now) || isOtherResin(outcome, around.resin),
    proven: result.proven,
    coverProven: result.coverProven,
    gap: gapNow(stored),
    progress: state === 'running' ? stored.progress : null,
    offers: offersShown(now, currency),
    entries: entriesShown(now, group),
    done: [...now.done],
    uncovered: uncoveredShown(now),
    totals: totalsShown(now, group),
    theme: result.plan.styleTag,
    ...besideShown(outcome, currency),
    tooLarge: outcome.tooLarge.map((one) => ({ ...one, title: around.titles.get(one.fileId) ?? '' })),
    withoutRate: outcome.withoutRate,
    printer: outcome.printer,
    crowding: outcome.crowding,
    resin: outcome.resin,
    startedAt: stored.startedAt.toISOString(),
    endedAt: stored.endedAt?.toISOString() ?? null,
  }
}

/** The sums of the plan as it was chosen, of each theme, and of what one would do without planning. */
function besideShown({ result, naive }: Outcome, currency: string): Pick<ShownPlan, 'asPlanned' | 'themes' | 'naive'> {
  const sums = ({ offersMinor, printMinor }: Sums) => sumsOf(currency, offersMinor, printMinor)
  const shown = (minor: number) => fromMinor(Math.round(minor), currency)
  const { totals, uncovered } = result.plan
  const looks = (minor: number) => fromMinor(minor, currency)
  return {
    asPlanned: {
      ...sums(totals),
      looks: looks(totals.looksMinor),
      uncovered: uncovered.length,
      decides: shown(result.objectiveMinor),
    },
    themes: result.themes.map(({ styleTag, uncovered: left, proven, objectiveMinor, ...money }) => ({
      styleTag,
      ...sums(money),
      uncovered: left,
      proven,
      chosenBy: shown(objectiveMinor),
    })),
    naive: naive.map(({ kind, looksMinor, objectiveMinor, uncovered: left, ...money }) => ({
      kind: naiveWords[kind],
      ...sums(money),
      uncovered: left,
      looks: looks(looksMinor),
      decides: shown(objectiveMinor),
    })),
  }
}

interface Sums {
  offersMinor: number
  printMinor: number
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

/** What an offer is called in a list: its own title, or those of its files. */
export const offerTitle = ({ title, kind, files }: Pick<Offer, 'title' | 'kind' | 'files'>) =>
  title ||
  (files.length > 0
    ? files
        .slice(0, 3)
        .map((file) => file.title)
        .join(', ')
    : kind)

/** What was bought stays in the list; what nothing is printed from any more needs no buying. */
function offersShown({ outcome: { result }, rest, around }: Now, currency: string): ShownPlan['offers'] {
  const { offers, titles, bought } = around
  const needed = new Set(rest.map(({ entry }) => entry.offerId))
  return result.plan.offers.flatMap((one) => {
    if (!needed.has(one.offerId) && !bought.has(one.offerId)) return []
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

function entriesShown({ outcome, rest, around }: Now, group: Group): ShownPlan['entries'] {
  return rest.map(({ entry, print, models, copies, expectedFailures, printMinor, resinMl, plates, hours }) => ({
    entryId: entry.entryId,
    fileId: entry.fileId,
    title: around.titles.get(entry.fileId) ?? '',
    offerId: entry.offerId === archiveOffer ? null : entry.offerId,
    supportSetId: entry.supportSetId,
    supportKind: print.kind,
    models,
    copies,
    expectedFailures,
    plates,
    hours,
    printing: fromMinor(printMinor, group.currency),
    hoursPerPlate: print.estimate?.hoursPerPlate ?? null,
    resinMl: tenth(resinMl),
    resinG: tenth(resinMl * gramsPerMlOf(outcome, group)),
    fits: print.estimate?.fits ?? true,
    otherPrinter: print.otherPrinter,
    share: entry.share,
  }))
}

const uncoveredShown = ({ outcome, done, around }: Now): ShownPlan['uncovered'] =>
  outcome.result.plan.uncovered
    .filter(({ entryId }) => !done.has(entryId))
    .map(({ entryId, reason }) => ({
      entryId,
      reason,
      words: uncoveredWords(reason, {
        hasUnit: around.entries.get(entryId)?.hasUnit ?? false,
        hurdle: outcome.hurdles[entryId],
      }),
    }))
