import { z } from 'zod'
import type { PlanChoices } from '../../../../web/pages/RosterPlanForm.tsx'
import type { Values } from '../../../../web/parts/form.tsx'
import { countedHundredths } from '../../../../web/parts/numbers.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { valuesFrom } from '../../../http/page.tsx'
import type { File } from '../../catalogue/files/schema.ts'
import type { ShownOffer } from '../../catalogue/offers/queries.ts'
import type { Entry } from '../schema.ts'
import { type AskedPlan, askedPlan, type ShownPlan } from './schema.ts'
import { offerTitle } from './show.ts'

/** As the body of REST, but that shares are asked for out of a hundred, and a decimal comma is a point. */
export const planForm = askedPlan.omit({ minShare: true, looks: true }).extend({
  minPercent: z.number().min(0, 'At least 0.').max(100, 'At most 100.').default(0),
  looks: z
    .string()
    .overwrite((text) => text.replace(',', '.'))
    .regex(/^\d{1,9}(\.\d{1,4})?$/, 'An amount such as 1.50.')
    .optional(),
})

export function askedByForm({ minPercent, looks, ...rest }: z.infer<typeof planForm>): AskedPlan {
  return { ...rest, minShare: minPercent / 100, ...(looks !== undefined && { looks }) }
}

/** What was asked for as the values of the form. */
export function planValues(asked: AskedPlan, currency: string): Values {
  const { budget, minShare, ...same } = asked
  return {
    ...valuesFrom({ ...same, budget: budget ?? { currency } }),
    minPercent: minShare > 0 ? String(countedHundredths(minShare)) : '',
  }
}

/** With so many entries their files are listed at once; of a longer roster those that are asked for, and these first ones. */
const mostListed = 30

interface Known {
  plan: ShownPlan | null
  currency: string
  /** of the form as it stands */
  values: Values
  /** those of the plan, and those that stand in for the listed entries */
  files: readonly File[]
  /** those of the plan, and those that it does without */
  offers: readonly ShownOffer[]
}

/** The entries that have several files to choose from, and of them those whose files are listed. */
export function entriesWithChoice(entries: readonly Entry[], values: Values) {
  const several = entries.filter(({ standIns, unit }) => unit && standIns > 1)
  const asked = askedFor(values)
  return { several, listed: several.filter((entry, place) => place < mostListed || asked.has(entry.id)) }
}

/** What can be chosen in the form of a plan: files for entries, and what to do without. */
export function choicesFor(entries: readonly Entry[], { plan, currency, values, files, offers }: Known): PlanChoices {
  const { several, listed } = entriesWithChoice(entries, values)
  const option = ({ id, title }: File) => ({ value: id, label: title })
  const plannedIds = plan ? [...plan.entries.map(({ fileId }) => fileId), ...plan.asked.exclude.fileIds] : []
  const planned = [...new Set(plannedIds)].flatMap((id) => files.find((file) => file.id === id) ?? [])
  return {
    currencies: currenciesFrom(currency),
    pins: listed.map((entry) => ({
      entryId: entry.id,
      words: entryWords(entry),
      files: files.filter(({ standsInFor }) => standsInFor.includes(entry.unit?.id ?? '')).map(option),
    })),
    others: several
      .filter((entry) => !listed.includes(entry))
      .map((entry) => ({ value: entry.id, label: entryWords(entry) })),
    offers: offerOptions(offers, plan),
    themes: themesOf(files, plan?.asked.theme ?? null),
    files: planned.map(option),
    sculptors: sculptorOptions(files, planned, plan?.asked.exclude.sculptorIds ?? []),
  }
}

const entryWords = ({ models, unit, words }: Entry) => `${models} × ${unit?.name ?? words}`

/** Entries that the form has a file for, or a field for one, or that are to be split. */
function askedFor(values: Values): Set<string> {
  const pinned = Object.keys(values).flatMap((name) => /^pins\.(.+)$/.exec(name)?.[1] ?? [])
  return new Set([...pinned, ...[values.split ?? []].flat()])
}

/** Style tags of the files that can be chosen from. */
function themesOf(files: readonly File[], asked: string | null) {
  const tags = new Set([...files.flatMap(({ styleTags }) => styleTags), ...(asked === null ? [] : [asked])])
  return [...tags].sort().map((tag) => ({ value: tag, label: tag }))
}

/** Those that cost something, and those that are done without. */
function offerOptions(offers: readonly ShownOffer[], plan: ShownPlan | null) {
  const paid = plan?.offers.filter(({ price }) => Number(price.amount) > 0).map(({ offerId }) => offerId) ?? []
  const shown = [...paid, ...(plan?.asked.exclude.offerIds ?? [])]
  return offers.filter(({ id }) => shown.includes(id)).map((offer) => ({ value: offer.id, label: offerTitle(offer) }))
}

/** Those of the plan's files and those that are excluded; whoever asked not to be named is not offered. */
function sculptorOptions(files: readonly File[], planned: readonly File[], excluded: readonly string[]) {
  const all = [...planned, ...files.filter(({ sculptor }) => sculptor.id !== null && excluded.includes(sculptor.id))]
  const named = all.flatMap(({ sculptor: { id, name } }) =>
    id !== null && name !== null ? [[id, { value: id, label: name }] as const] : [],
  )
  return [...new Map(named).values()]
}
