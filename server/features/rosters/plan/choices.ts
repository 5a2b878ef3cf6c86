import type { Db } from '../../../../db/connect.ts'
import type { PlanChoices } from '../../../../web/pages/RosterPlanForm.tsx'
import type { Values } from '../../../../web/parts/form.tsx'
import { currenciesFrom } from '../../../http/money.ts'
import type { Viewer } from '../../../http/session.ts'
import { filesById } from '../../catalogue/files/queries.ts'
import type { File } from '../../catalogue/files/schema.ts'
import { offersById } from '../../catalogue/offers/queries.ts'
import type { Entry } from '../schema.ts'
import type { ShownPlan } from './schema.ts'
import { offerTitle } from './show.ts'
import { unhurried } from './unhurried.ts'

/** With so many entries their files are listed at once; of a longer roster those that are asked for, and these first ones. */
const mostListed = 30

interface Known {
  plan: ShownPlan | null
  currency: string
  /** of the form as it stands */
  values: Values
}

/** What can be chosen in the form of a plan: files for entries, and what to do without. */
export async function choicesFor(
  hurried: Db,
  viewer: Viewer,
  entries: Entry[],
  { plan, currency, values }: Known,
): Promise<PlanChoices> {
  const db = unhurried(hurried)
  const several = entries.filter(({ standIns, unit }) => unit && standIns > 1)
  const asked = askedFor(values)
  const isListed = (entry: Entry, place: number) => place < mostListed || asked.has(entry.id)
  const listed = several.filter(isListed)
  const standIns = await standInsOf(db, listed)
  const planned = plan ? [...plan.entries.map(({ fileId }) => fileId), ...plan.asked.exclude.fileIds] : []
  const files = await filesById(db, viewer, [...new Set([...[...standIns.values()].flat(), ...planned])])
  const known = new Map(files.map((file) => [file.id, file]))
  const option = ({ id, title }: File) => ({ value: id, label: title })
  const among = (ids: string[]) => [...new Set(ids)].flatMap((id) => known.get(id) ?? [])
  return {
    currencies: currenciesFrom(currency),
    pins: listed.map((entry) => ({
      ...{ entryId: entry.id, words: entryWords(entry) },
      files: among(standIns.get(entry.unit?.id ?? '') ?? []).map(option),
    })),
    others: several
      .filter((entry, place) => !isListed(entry, place))
      .map((entry) => ({ value: entry.id, label: entryWords(entry) })),
    offers: await offerOptions(db, viewer, plan),
    themes: themesOf(files, plan?.asked.theme ?? null),
    files: among(planned).map(option),
    sculptors: sculptorOptions(files, among(planned), plan?.asked.exclude.sculptorIds ?? []),
  }
}

const entryWords = ({ models, unit, words }: Entry) => `${models} x ${unit?.name ?? words}`

/** Entries that the form has a file for, or a field for one, or that are to be split. */
function askedFor(values: Values): Set<string> {
  const pinned = Object.keys(values).flatMap((name) => /^pins\.(.+)$/.exec(name)?.[1] ?? [])
  return new Set([...pinned, ...[values.split ?? []].flat()])
}

/** Style tags of the files that can be chosen from. */
function themesOf(files: File[], asked: string | null) {
  const tags = new Set([...files.flatMap(({ styleTags }) => styleTags), ...(asked === null ? [] : [asked])])
  return [...tags].sort().map((tag) => ({ value: tag, label: tag }))
}

async function standInsOf(db: Db, entries: Entry[]): Promise<Map<string, string[]>> {
  const unitIds = [...new Set(entries.flatMap(({ unit }) => unit?.id ?? []))]
  if (unitIds.length === 0) return new Map()
  const rows = await db.selectFrom('fileUnit').selectAll().where('unitId', 'in', unitIds).execute()
  const byUnit = Map.groupBy(rows, ({ unitId }) => unitId)
  return new Map([...byUnit].map(([unitId, some]) => [unitId, some.map(({ fileId }) => fileId)]))
}

async function offerOptions(db: Db, viewer: Viewer, plan: ShownPlan | null) {
  if (!plan) return []
  const paid = plan.offers.filter(({ price }) => Number(price.amount) > 0).flatMap(({ offerId }) => offerId ?? [])
  const offers = await offersById(db, viewer, [...new Set([...paid, ...plan.asked.exclude.offerIds])])
  return offers.map((offer) => ({ value: offer.id, label: offerTitle(offer) }))
}

/** Those of the plan's files and those that are excluded; whoever asked not to be named is not offered. */
function sculptorOptions(files: File[], planned: File[], excluded: string[]) {
  const all = [...planned, ...files.filter(({ sculptor }) => sculptor.id !== null && excluded.includes(sculptor.id))]
  const named = all.flatMap(({ sculptor: { id, name } }) =>
    id !== null && name !== null ? [[id, { value: id, label: name }] as const] : [],
  )
  return [...new Map(named).values()]
}
