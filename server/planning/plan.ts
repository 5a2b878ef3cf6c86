import type { Choice, Uncovered, Usable } from './filters.ts'
import type { Entry, Instance, Offer, OfferKind } from './instance.ts'
import { matches, type Part, type Solution } from './problem.ts'

/** What to buy and which file to print for each entry. All money in whole minor units. */
export type Plan = {
  /** those that some entry uses, also at price 0, in the order of the input */
  offers: PlannedOffer[]
  /** in the order of the roster; an entry that is printed from two files is there twice */
  entries: PlannedEntry[]
  uncovered: Uncovered[]
  /** the theme that the plan was made for */
  styleTag: string | null
  totals: Totals
}

export type PlannedOffer = { offerId: string; kind: OfferKind; priceMinor: number; opens: string[] }

export type PlannedEntry = {
  entryId: string
  fileId: string
  supportSetId: string | null
  /** the bought offer that it is got through */
  offerId: string
  models: number
  printMinor: number
  looksMinor: number
  share: number
}

export type Totals = {
  offersMinor: number
  printMinor: number
  looksMinor: number
  /** what was taken off the sum for the theme and for split entries */
  bonusMinor: number
  /** boxes of the covered entries, as far as their prices are known */
  retailMinor: number
  /** covered entries whose box has no known price */
  withoutRetail: string[]
  /** retail less offers and printing; null where a covered entry has no retail price, or none is covered */
  savingMinor: number | null
  /** the same as a share of retail */
  saving: number | null
}

/**
 * The plan in the words of the roster, every amount added up anew from the input.
 *
 * @param solution of the problem that `found` became under this theme
 */
export function planOf(instance: Instance, found: Usable, solution: Solution, styleTag?: string): Plan {
  const planned = found.entries.flatMap(({ entry, choices }, place) => {
    const parts = solution.served[place]?.parts ?? []
    return parts.map((part) => ({ entry, part, choice: choiceOf(choices, part), split: parts.length > 1 }))
  })
  const entries = planned.map(({ entry, part, choice }) => plannedEntry(entry, part, choice, found.offers))
  const inRoster = placesOf(instance.entries)
  entries.sort((one, other) => placeIn(inRoster, one.entryId) - placeIn(inRoster, other.entryId))
  const offers = plannedOffers(instance.offers, entries)
  const uncovered = uncoveredOf(instance, found, solution)
  uncovered.sort((one, other) => placeIn(inRoster, one.entryId) - placeIn(inRoster, other.entryId))
  const themed = planned.filter(({ choice }) => matches(choice, styleTag)).map(({ part }) => part.part)
  const splits = new Set(planned.filter(({ split }) => split).map(({ entry }) => entry))
  const bonusMinor =
    sum(themed) * (instance.options.theme?.bonusMinor ?? 0) + sum([...splits].map((e) => e.split?.bonusMinor ?? 0))
  return {
    offers,
    entries,
    uncovered,
    styleTag: styleTag ?? null,
    totals: totalsOf(instance, offers, entries, bonusMinor),
  }
}

function choiceOf(choices: readonly Choice[], { way }: Part): Choice {
  const choice = choices[way.choice]
  if (!choice) throw new RangeError(`no choice ${way.choice}`)
  return choice
}

function plannedEntry(entry: Entry, { part, way }: Part, choice: Choice, offers: readonly Offer[]): PlannedEntry {
  const { candidate, looksMinor } = choice
  const models = Math.round(part * entry.models)
  return {
    entryId: entry.id,
    fileId: candidate.fileId,
    supportSetId: candidate.supportSetId ?? null,
    offerId: offers[way.offer]?.id ?? '',
    models,
    printMinor: Math.round((models * candidate.printMinor) / entry.models),
    looksMinor: Math.round((models * looksMinor) / entry.models),
    share: candidate.share,
  }
}

function plannedOffers(offers: readonly Offer[], entries: readonly PlannedEntry[]): PlannedOffer[] {
  const opens = Map.groupBy(entries, ({ offerId }) => offerId)
  return offers.flatMap(({ id, kind, priceMinor }) => {
    const users = opens.get(id)?.map(({ entryId }) => entryId)
    return users ? [{ offerId: id, kind, priceMinor, opens: [...new Set(users)] }] : []
  })
}

function uncoveredOf({ options }: Instance, found: Usable, { served }: Solution): Uncovered[] {
  const reason = options.budgetMinor === undefined ? 'left out to differ' : 'over budget'
  const leftOut = found.entries.filter((_, place) => !served[place]?.parts.length)
  return [...found.uncovered, ...leftOut.map(({ entry }): Uncovered => ({ entryId: entry.id, reason }))]
}

function totalsOf(
  instance: Instance,
  offers: readonly PlannedOffer[],
  entries: readonly PlannedEntry[],
  bonusMinor: number,
): Totals {
  const covered = new Set(entries.map(({ entryId }) => entryId))
  const boxes = instance.entries.filter(({ id }) => covered.has(id))
  const withoutRetail = boxes.filter(({ retailMinor }) => retailMinor === null).map(({ id }) => id)
  const retailMinor = sum(boxes.map(({ retailMinor }) => retailMinor ?? 0))
  const offersMinor = sum(offers.map(({ priceMinor }) => priceMinor))
  const printMinor = sum(entries.map((entry) => entry.printMinor))
  const comparable = withoutRetail.length === 0 && retailMinor > 0
  const savingMinor = comparable ? retailMinor - offersMinor - printMinor : null
  return {
    offersMinor,
    printMinor,
    looksMinor: sum(entries.map(({ looksMinor }) => looksMinor)),
    bonusMinor,
    retailMinor,
    withoutRetail,
    savingMinor,
    saving: savingMinor === null ? null : savingMinor / retailMinor,
  }
}

function placesOf(things: readonly { id: string }[]): Map<string, number> {
  return new Map(things.map(({ id }, place) => [id, place]))
}

function placeIn(places: ReadonlyMap<string, number>, id: string): number {
  return places.get(id) ?? 0
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, number) => total + number, 0)
}
