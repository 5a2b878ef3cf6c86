import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Db } from '../../../db/connect.ts'
import { Roster as RosterPage } from '../../../web/pages/Roster.tsx'
import { RosterLead, RosterSum } from '../../../web/pages/RosterHead.tsx'
import type { Errors, Values } from '../../../web/parts/form.tsx'
import { neverKeep } from '../../http/kept-answers.ts'
import { currenciesFrom, toMinor } from '../../http/money.ts'
import { blank, once, page } from '../../http/page.tsx'
import type { Viewer } from '../../http/session.ts'
import { filesAmong } from '../catalogue/files/queries.ts'
import { offersById } from '../catalogue/offers/queries.ts'
import { ratesOf } from '../printing/resins/rules.ts'
import { fileOfEntries, ranksOf, toBuyOf } from './army/figures.ts'
import { nextHere } from './army/next-here.ts'
import { choicesFor, entriesWithChoice, planValues } from './plan/form.ts'
import { drawnKey, drawnPlates } from './plan/plates.ts'
import { askedPlan, type ShownPlan, type ShownWhatIf } from './plan/schema.ts'
import { filesNamed, offersIn, shownPlan, titlesOf } from './plan/show.ts'
import { type StoredPlan, storedPlan } from './plan/stored.ts'
import { readRoster } from './queries.ts'
import { mostAsked, type Roster } from './schema.ts'
import { boughtIn, spendFrom, spentOn } from './spend/queries.ts'

type FormState = { values: Values; errors: Errors }

/** What has just been sent to the page, where it was refused or asked for. */
export interface Sent {
  paste?: FormState
  asking?: FormState
  planning?: FormState
  /** a file is being chosen for a further entry */
  isPinning?: boolean
  buying?: FormState
  spending?: FormState
  /** how far an entry has come */
  assembling?: FormState
  whatIf?: { asked: string; answer: ShownWhatIf }
}

/** The page of a roster: the list for everybody who may read it, the rest for its owner. @throws Problem 404 */
export async function rosterPage(reply: FastifyReply, id: string, sent: Sent = {}) {
  const { db, member } = reply.request
  const roster = await readRoster(db, member, id)
  const isMine = roster.owner.id === member.id
  const { entries } = roster
  const list = {
    rosterId: id,
    entries,
    retail: roster.retail,
    isMine,
    paste: sent.paste ?? blank(),
    once: once(),
    asking: sent.asking ?? blank({ scaleMm: usualScale(roster), entryIds: unknownOf(roster) }),
  }
  const own = isMine ? await ownParts(reply.request, roster, sent) : null
  // Whether whoever works on a plan is silent is a matter of seconds.
  if (own?.plan?.plan.state === 'running') neverKeep(reply.request)
  return page(reply, {
    title: roster.name,
    lead: (
      <RosterLead
        models={roster.models}
        owner={isMine ? null : roster.owner.name}
        missing={entries.filter(({ standIns }) => standIns === 0)}
        isMine={isMine}
      />
    ),
    // What nobody knows a file for can't be planned: then the line above it says to ask the group.
    sum: own && (own.saving.hasPlan || entries.some(({ standIns }) => standIns > 0)) && <RosterSum {...own.saving} />,
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

const armyOf = (entries: Roster['entries']) =>
  entries.flatMap(({ id, words, unit, models, standIns, state }) =>
    state ? [{ id, name: unit?.name ?? words, models, standIns, ...state }] : [],
  )

/** What the plan, its form and the spending show, each read once for all three. */
async function ownFacts(db: Db, viewer: Viewer, { id, entries, retail: box }: Roster, sent: Sent) {
  const { group } = viewer
  const found = await storedPlan(db, id)
  const stored = typeof found === 'string' ? null : found
  const form = sent.planning ?? blank(planValues(stored?.asked ?? askedPlan.parse({}), group.currency))
  const spent = await spentOn(db, viewer, id, stored)
  const unitIds = entriesWithChoice(entries, form.values).listed.flatMap(({ unit }) => unit?.id ?? [])
  const exclude = stored?.asked.exclude
  const printed = spent.reports.map(({ fileId }) => fileId)
  const fileIds = [...printed, ...(stored ? [...filesNamed(stored), ...(exclude?.fileIds ?? [])] : [])]
  const files = await filesAmong(db, viewer, [...new Set(fileIds)], unitIds)
  const purchased = boughtIn(spent.purchases)
  const offerIds = [...(stored ? offersIn(stored) : []), ...(exclude?.offerIds ?? []), ...purchased]
  const offers = await offersById(db, viewer, [...new Set(offerIds)])
  const byId = new Map(offers.map((offer) => [offer.id, offer]))
  const around = {
    titles: titlesOf(files),
    offers: byId,
    bought: new Set(purchased),
    spend: spendFrom({ entries, box, plan: stored, ...spent, offers: byId }, viewer),
    resin: ratesOf(viewer.resin, group),
    entries: new Map(
      entries.map((entry) => [
        entry.id,
        { hasUnit: entry.unit !== null, retailMinor: entry.retail && toMinor(entry.retail) },
      ]),
    ),
  }
  const plan = stored && shownPlan(stored, group, around)
  return { found, stored, plan, form, files, offers, reports: spent.reports, spend: around.spend }
}

function withPlates(plan: ShownPlan, stored: StoredPlan) {
  const drawn = drawnPlates(stored, plan)
  return { ...plan, entries: plan.entries.map((entry) => ({ ...entry, drawn: drawn.get(drawnKey(entry)) })) }
}

const saidCounted = (query: unknown) => (query as { said?: unknown }).said === 'army-counted'

async function ownParts({ db, member, query }: FastifyRequest, roster: Roster, sent: Sent) {
  const { id, entries } = roster
  const { currency } = member.group
  const { found, stored, plan, form, spend, reports, ...known } = await ownFacts(db, member, roster, sent)
  const names = Object.fromEntries(entries.map((entry) => [entry.id, entry.unit?.name ?? entry.words]))
  const choices = choicesFor(entries, { plan, currency, values: form.values, ...known })
  const tick = { rosterId: id, currencies: currenciesFrom(currency), buying: sent.buying ?? blank(), once: once() }
  const values = { whatIf: sent.whatIf?.asked ?? 'other plans' }
  return {
    form: {
      ...choices,
      rosterId: id,
      form,
      isOpen: sent.planning !== undefined,
      isPinning: sent.isPinning ?? false,
    },
    saving: { totals: plan?.totals ?? null, hasPlan: found !== null, outOfDate: plan?.outOfDate ?? false },
    army: {
      rosterId: id,
      ranks: ranksOf(entries, fileOfEntries(plan, reports, known.files)),
      toBuy: toBuyOf(entries),
      entries: armyOf(entries),
      next: nextHere(entries, plan && stored && { plan, stored }),
      isCounting: sent.assembling !== undefined || saidCounted(query),
      errors: sent.assembling?.errors ?? {},
    },
    isOfEarlierVersion: found === 'of an earlier version',
    plan: plan && stored && { rosterId: id, plan: withPlates(plan, stored), names, tick },
    whatIfs:
      plan && plan.state !== 'running' && plan.entries.length > 0
        ? { rosterId: id, plan, names, values, answer: sent.whatIf?.answer ?? null }
        : null,
    spend: {
      rosterId: id,
      spend,
      names,
      currencies: currenciesFrom(currency),
      once: once(),
      spending: sent.spending ?? blank({ cameIn: 'false' }),
    },
  }
}
