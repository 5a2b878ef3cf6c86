import { setImmediate as letOthers } from 'node:timers/promises'
import { parseAmount, toMinor } from '../../../http/money.ts'
import { invalid } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import type { Candidate, Entry, File, Instance, Offer } from '../../../planning/instance.ts'
import { shownSculptor } from '../../catalogue/files/rules.ts'
import { shownWords } from '../../catalogue/sculptors/own-words.ts'
import type { FileFacts } from '../../requests/answers/facts.ts'
import { cheapestWay, monthsOf, type OfferFacts, stopsPrint } from '../../requests/answers/rules.ts'
import { retailMinor } from '../rules.ts'
import { filesFor, type OpenEntry, type RosterFacts } from './facts.ts'
import { type PlacedPrint, placing } from './machines.ts'
import type { AskedPlan } from './schema.ts'
import { archiveOffer } from './stored-schema.ts'

export interface Drawn {
  instance: Instance
  /** by `printKey` */
  prints: Map<string, PlacedPrint>
  withoutRate: { offerId: string; currency: string }[]
  /** of entries none of whose files can be had, why not */
  hurdles: Record<string, string>
}

export const printKey = (entryId: string, fileId: string) => `${entryId} ${fileId}`

/** A part of an entry that is printed from a second file is no smaller than that (our own choice). */
const smallestPart = 0.25
/** Sums beyond this are no prices; a planned sum has to stay exact. */
const mostMinor = 1e11
const isCountable = (minor: number | undefined): minor is number => minor !== undefined && minor <= mostMinor

/** How long other requests may be kept waiting while costs are worked out. */
const sliceMs = 4

type Breathe = () => Promise<void>

/** Lets the others have their turn whenever its own has lasted long enough. */
function breather(): Breathe {
  let began = performance.now()
  return async () => {
    if (performance.now() - began < sliceMs) return
    await letOthers()
    began = performance.now()
  }
}

/**
 * What is still missing of the roster as the planning wants it, from what the group knows and the member has.
 *
 * @param earlier offers that the plan before went by
 * @throws Problem 422 for a budget in a currency without a rate, and for looks with too many digits
 */
export async function draw(facts: RosterFacts, asked: AskedPlan, earlier: readonly string[] = []): Promise<Drawn> {
  const looksWorthMinor = looksOf(facts, asked)
  const entries = facts.open.map((row) => entryOf(row, facts, asked, looksWorthMinor))
  const breathe = breather()
  const { candidates, prints } = await candidatesOf(facts, breathe)
  const files = [...facts.files.values()].map((file) => fileOf(file, facts.viewer))
  const models = facts.open.reduce((sum, { missing }) => sum + missing, 0)
  const theme =
    asked.theme === null ? {} : { theme: themeOf(asked.theme, looksWorthMinor, models / Math.max(1, entries.length)) }
  const options = {
    looksWorthMinor,
    allowMemberships: asked.allowMemberships,
    avoidBlocked: asked.avoidBlocked,
    exclude: asked.exclude,
    earlier,
    ...budgetOf(facts, asked),
    ...theme,
  }
  const { offers, withoutRate } = offersOf(facts)
  return {
    instance: { entries, files, candidates, offers, options },
    prints,
    withoutRate,
    hurdles: await hurdlesOf(facts, breathe),
  }
}

/** A file with what the member may know of it: by nothing else shall they be able to exclude or prefer it. */
const fileOf = (file: FileFacts, viewer: Viewer): File => ({
  id: file.id,
  sculptorId: shownSculptor(file, viewer).id ?? '',
  styleTags: shownWords(file, 'styleTags', viewer),
})

function looksOf({ group }: RosterFacts, { looks }: AskedPlan): number {
  if (looks === undefined) return group.looksWorthMinor
  const minor = parseAmount(looks, group.currency)
  if (minor === undefined) throw invalid('/looks', `Too many digits after the point for ${group.currency}.`)
  return minor
}

/** What was paid for the roster's offers already is out of the budget. */
function budgetOf({ exchange, spend }: RosterFacts, { budget }: AskedPlan): { budgetMinor?: number } {
  if (budget === null) return {}
  const minor = exchange(parseAmount(budget.amount, budget.currency) ?? 0, budget.currency)
  if (minor === undefined)
    throw invalid(
      '/budget/currency',
      `The group has no exchange rate for ${budget.currency}: a steward can note one in the settings.`,
    )
  return { budgetMinor: Math.max(0, Math.min(minor, mostMinor) - toMinor(spend.offers)) }
}

/** An entry in the theme is worth as much more as one of middling size that all rather than nobody would field. */
const themeOf = (tag: string, looksWorthMinor: number, meanModels: number) => ({
  styleTags: [tag],
  bonusMinor: Math.round(looksWorthMinor * meanModels),
})

function entryOf(row: OpenEntry, { exchange }: RosterFacts, asked: AskedPlan, looksWorthMinor: number): Entry {
  const retail = retailMinor(row, exchange)
  const pin = asked.pins[row.id]
  return {
    id: row.id,
    models: row.missing,
    retailMinor: isCountable(retail ?? undefined) ? retail : null,
    ...(asked.minShare > 0 && { minShare: asked.minShare }),
    ...(pin !== undefined && { pinnedFileId: pin }),
    // Two kinds of body in one unit are worth half of what the looks of all its models are.
    ...(asked.split.includes(row.id) && {
      split: { minPart: smallestPart, bonusMinor: Math.round((looksWorthMinor * row.missing) / 2) },
    }),
  }
}

/** Every file that stands in for an entry, with the support set that costs least. */
async function candidatesOf(facts: RosterFacts, breathe: Breathe) {
  const candidates: Candidate[] = []
  const prints = new Map<string, PlacedPrint>()
  const known = new Map<string, PlacedPrint | undefined>()
  const place = placing(facts)
  for (const entry of facts.open) {
    for (const file of filesFor(facts, entry)) {
      await breathe()
      const { id: fileId } = file
      const key = `${fileId} ${entry.missing}`
      if (!known.has(key)) known.set(key, place(file, entry.missing))
      const print = known.get(key)
      if (!print || !isCountable(print.cost.costToTableMinor)) continue
      prints.set(printKey(entry.id, fileId), print)
      const { supportSetId } = print.line
      candidates.push({
        entryId: entry.id,
        fileId,
        printMinor: print.cost.costToTableMinor,
        blocked: file.snags.some(stopsPrint),
        ...(supportSetId !== null && { supportSetId }),
        ...(!print.fits && { fits: false }),
        share: facts.tally(entry.unitId ?? '', fileId).share,
      })
    }
  }
  return { candidates, prints }
}

/** What is on sale at a price that can be compared, what is in the archive, and the memberships that run. */
function offersOf(facts: RosterFacts) {
  const known = new Map<string, { offer: OfferFacts; fileIds: string[] }>()
  for (const { id, offers } of facts.files.values()) {
    for (const offer of offers) {
      const held = known.get(offer.id)
      if (held) held.fileIds.push(id)
      else known.set(offer.id, { offer, fileIds: [id] })
    }
  }
  const owned = [...facts.files.values()].filter(({ inArchive }) => inArchive).map(({ id }) => id)
  const offers: Offer[] = owned.length > 0 ? [{ id: archiveOffer, kind: 'owned', priceMinor: 0, fileIds: owned }] : []
  const withoutRate: Drawn['withoutRate'] = []
  for (const { offer, fileIds } of known.values()) {
    const { id, priceCurrency } = offer
    if (facts.memberships.has(id)) offers.push({ id, kind: 'owned', priceMinor: 0, fileIds })
    else if (offer.state === 'on sale') {
      const months = monthsOf(offer)
      const priceMinor = facts.exchange(offer.priceMinor * (months ?? 1), priceCurrency)
      if (priceMinor === undefined) withoutRate.push({ offerId: id, currency: priceCurrency })
      else if (isCountable(priceMinor))
        offers.push({
          id,
          kind: offer.kind,
          priceMinor,
          fileIds,
          ...(months !== null && { membership: { id, months } }),
        })
    }
  }
  return { offers, withoutRate }
}

async function hurdlesOf(facts: RosterFacts, breathe: Breathe): Promise<Record<string, string>> {
  const found: Record<string, string> = {}
  for (const entry of facts.open) {
    await breathe()
    const ways = filesFor(facts, entry).map(({ inArchive, offers }) =>
      cheapestWay(offers, { inArchive, memberships: facts.memberships }, facts.exchange),
    )
    const whyNot = ways.filter((way) => typeof way === 'string')
    if (ways.length > 0 && whyNot.length === ways.length) found[entry.id] = [...new Set(whyNot)].join(' ')
  }
  return found
}
