import type { Db } from '../../../../db/connect.ts'
import { fromMinor } from '../../../http/money.ts'
import { conflict, invalid, notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Plan, PlannedOffer } from '../../../planning/plan.ts'
import { type Compared, type WhatIf, type WhatIfAnswer, whatIf } from '../../../planning/what-if.ts'
import { filesById } from '../../catalogue/files/queries.ts'
import { offersById } from '../../catalogue/offers/queries.ts'
import { ownRoster } from '../queries.ts'
import { asks } from './limits.ts'
import { sumsOf } from './now.ts'
import type { ComparedPlan, ShownWhatIf, WhatIfQuery } from './schema.ts'
import { offerTitle } from './show.ts'
import { instanceOf, keepAlternatives, plannedEarlier, storedPlan } from './stored.ts'
import { archiveOffer } from './stored-schema.ts'

/** Nobody waits longer for a page. */
const timeLimitS = 10
const mostOthers = 3

/**
 * The plan once more with something changed, worked out now.
 *
 * @throws Problem 403, 404, 409 while the plan itself is being solved or where an earlier version made it, 422 for an offer or entry that is not in the plan, 429
 */
export const whatIfOf = (db: Db, viewer: Viewer, rosterId: string, query: WhatIfQuery): Promise<ShownWhatIf> =>
  asks(viewer.id, () => answerTo(db, viewer, rosterId, query))

async function answerTo(db: Db, viewer: Viewer, rosterId: string, query: WhatIfQuery): Promise<ShownWhatIf> {
  await ownRoster(db, viewer, rosterId)
  const stored = await storedPlan(db, rosterId)
  if (!stored) throw notFound('plan')
  if (typeof stored === 'string') throw plannedEarlier()
  if (stored.state === 'running') throw conflict('The plan itself is still being solved; ask again when it is done.')
  const { result } = stored.outcome
  const asked = askedOf(query, result.plan)
  const answer = await whatIf(await instanceOf(db, rosterId), result, asked, { timeLimitS }).result
  const { currency } = viewer.group
  const names = await namesOf(db, viewer, [result.plan, ...answer.plans.map((one) => one.result.plan)])
  const plans = answer.plans.map((one) => comparedPlan(one, result.plan, names, currency))
  if (query.kind === 'other plans') await keepAlternatives(db, stored.id, plans)
  return { kind: query.kind, plans, worthUpTo: worthOf(answer, currency) }
}

function askedOf({ kind, offerId, entryId }: WhatIfQuery, plan: Plan): WhatIf {
  if (kind === 'without offer') {
    if (!plan.offers.some((offer) => offer.offerId === offerId && offer.priceMinor > 0))
      throw invalid('/offerId', 'Which of the plan’s offers would you do without?')
    return { kind, offerId: offerId ?? '' }
  }
  if (kind === 'second choice') {
    if (!plan.entries.some((entry) => entry.entryId === entryId))
      throw invalid('/entryId', 'Which of the plan’s entries would you print from something else?')
    return { kind, entryId: entryId ?? '' }
  }
  return kind === 'other plans' ? { kind, most: mostOthers } : { kind }
}

const worthOf = ({ worthUpTo }: WhatIfAnswer, currency: string) =>
  worthUpTo && { price: fromMinor(worthUpTo.priceMinor, currency), isExact: worthUpTo.isExact }

interface Names {
  offers: ReadonlyMap<string, string>
  files: ReadonlyMap<string, string>
}

async function namesOf(db: Db, viewer: Viewer, plans: Plan[]): Promise<Names> {
  const offerIds = new Set(plans.flatMap((plan) => plan.offers.map(({ offerId }) => offerId)))
  offerIds.delete(archiveOffer)
  const fileIds = new Set(plans.flatMap((plan) => plan.entries.map(({ fileId }) => fileId)))
  const offers = await offersById(db, viewer, [...offerIds])
  const files = await filesById(db, viewer, [...fileIds])
  return {
    offers: new Map(offers.map((offer) => [offer.id, offerTitle(offer)])),
    files: new Map(files.map(({ id, title }) => [id, title])),
  }
}

function comparedPlan(one: Compared, made: Plan, names: Names, currency: string): ComparedPlan {
  const { plan, proven, gap } = one.result
  const paidOnlyIn = (offers: Plan['offers'], others: Plan['offers']) =>
    offers.filter(({ offerId, priceMinor }) => priceMinor > 0 && !others.some((other) => other.offerId === offerId))
  const titleOf = ({ offerId }: PlannedOffer) => names.offers.get(offerId) ?? ''
  const drops = paidOnlyIn(made.offers, plan.offers).map(titleOf)
  // The same thing by another offer is said to be that: "without X: buy X" would tell nobody anything.
  const adds = paidOnlyIn(plan.offers, made.offers).map((offer) =>
    drops.includes(titleOf(offer)) ? anotherOffer(titleOf(offer), offer, currency) : titleOf(offer),
  )
  return {
    ...sumsOf(currency, plan.totals.offersMinor, plan.totals.printMinor),
    extra: fromMinor(one.extraMoneyMinor, currency),
    extraWithLooks: fromMinor(Math.round(one.extraObjectiveMinor), currency),
    moreUncovered: one.moreUncovered,
    proven,
    gap,
    drops,
    adds,
    changes: changesOf(made, plan, names),
  }
}

function anotherOffer(title: string, { kind, priceMinor }: PlannedOffer, currency: string): string {
  const { amount } = fromMinor(priceMinor, currency)
  return `${title}, by another offer (${kind} for ${amount} ${currency})`
}

function changesOf(made: Plan, other: Plan, { files }: Names): ComparedPlan['changes'] {
  const printed = (plan: Plan, entryId: string) =>
    plan.entries
      .filter((entry) => entry.entryId === entryId)
      .map(({ fileId }) => files.get(fileId) ?? '')
      .sort()
      .join(' and ') || null
  const ids = new Set([...made.entries, ...other.entries].map(({ entryId }) => entryId))
  return [...ids]
    .map((entryId) => ({ entryId, from: printed(made, entryId), to: printed(other, entryId) }))
    .filter(({ from, to }) => from !== to)
}
