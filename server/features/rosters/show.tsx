import type { FastifyReply, FastifyRequest } from 'fastify'
import { Roster as RosterPage } from '../../../web/pages/Roster.tsx'
import type { Errors, Values } from '../../../web/parts/form.tsx'
import { blank, once } from '../../http/form.ts'
import { currenciesFrom } from '../../http/money.ts'
import { page } from '../../http/page.tsx'
import { choicesFor } from './plan/choices.ts'
import { blankPlan, planValues } from './plan/form.ts'
import type { ShownWhatIf } from './plan/schema.ts'
import { findPlan } from './plan/show.ts'
import { readRoster } from './queries.ts'
import { mostAsked, type Roster } from './schema.ts'
import { uncountedReports } from './spend/prints.ts'
import { shownTied, spendOf } from './spend/queries.ts'

type FormState = { values: Values; errors: Errors }

/** What has just been sent to the page, where it was refused or asked for. */
export interface Sent {
  paste?: FormState
  asking?: FormState
  planning?: FormState
  /** a file is being chosen for a further entry */
  isPinning?: boolean
  buying?: FormState
  whatIf?: { asked: string; answer: ShownWhatIf }
}

/** The page of a roster: the list for everybody who may read it, the rest for its owner. @throws Problem 404 */
export async function rosterPage(request: FastifyRequest, reply: FastifyReply, id: string, sent: Sent = {}) {
  const { db, member } = request
  const roster = await readRoster(db, member, id)
  const isMine = roster.owner.id === member.id
  const { entries } = roster
  const list = {
    ...{ rosterId: id, entries, isMine, paste: sent.paste ?? blank(), once: once() },
    asking: sent.asking ?? blank({ scaleMm: usualScale(roster), entryIds: unknownOf(roster) }),
  }
  const own = isMine ? await ownParts(request, roster, sent) : null
  return page(request, reply, {
    title: roster.name,
    children: <RosterPage roster={roster} isMine={isMine} once={once()} list={list} own={own} />,
  })
}

/** Entries that nothing stands in for yet are ticked, as many as go at a time, except those whose unit may be known. */
const unknownOf = ({ entries }: Roster) =>
  entries
    .filter(({ standIns, unit, nearest }) => standIns === 0 && (unit || nearest.length === 0))
    .map(({ id }) => id)
    .slice(0, mostAsked)

const usualScale = ({ entries }: Roster) => String(entries.find(({ unit }) => unit)?.unit?.scaleMm ?? 28)

async function ownParts({ db, member }: FastifyRequest, { id, entries }: Roster, sent: Sent) {
  const { currency } = member.group
  const found = await findPlan(db, member, id)
  const plan = typeof found === 'string' ? null : found
  const names = Object.fromEntries(entries.map((entry) => [entry.id, entry.unit?.name ?? entry.words]))
  const usual = plan ? blank(planValues(plan.asked, currency)) : blankPlan(currency)
  const form = sent.planning ?? usual
  const choices = await choicesFor(db, member, entries, { plan, currency, values: form.values })
  const bought = (offers: NonNullable<typeof plan>['offers']) =>
    offers
      .filter(({ offerId, bought: isBought, kind }) => offerId && !isBought && kind !== 'owned')
      .toSorted((one, other) => Number(other.price.amount) - Number(one.price.amount))
      .flatMap(({ offerId, title }) => (offerId ? [{ offerId, title }] : []))
  const values = { whatIf: sent.whatIf?.asked ?? 'other plans' }
  return {
    form: {
      ...{ ...choices, rosterId: id, form, hasPlan: found !== null },
      ...{ isOpen: sent.planning !== undefined, isPinning: sent.isPinning ?? false },
    },
    isOfEarlierVersion: found === 'of an earlier version',
    plan: plan && { rosterId: id, plan, names },
    whatIfs:
      plan && plan.state !== 'running' && plan.entries.length > 0
        ? { rosterId: id, plan, names, values, answer: sent.whatIf?.answer ?? null }
        : null,
    spend: {
      ...{ rosterId: id, spend: await spendOf(db, member, id), names, currencies: currenciesFrom(currency) },
      ...{ toBuy: plan ? bought(plan.offers) : [], buying: sent.buying ?? blank(), once: once() },
      uncounted: (await uncountedReports(db, member, id)).map((report) => ({
        ...shownTied(report),
        entryId: report.entryId,
      })),
    },
  }
}
