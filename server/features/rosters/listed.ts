import type { Db } from '../../../db/connect.ts'
import type { ListedRoster } from '../../../web/pages/Rosters.tsx'
import { notFound } from '../../http/problem.ts'
import type { Viewer } from '../../http/session.ts'
import { ratesOf } from '../printing/resins/rules.ts'
import { type ArmyEntry, fileOfEntries, outlined, ranksOf, toBuyOf } from './army/figures.ts'
import { nextHere } from './army/next-here.ts'
import { figuresOf } from './army/queries.ts'
import { type EntryRow, entryRows, stateOf, unitOf } from './entries.ts'
import { boxesOf } from './plan/now.ts'
import type { ShownPlan } from './plan/schema.ts'
import { shownPlan } from './plan/show.ts'
import { type StoredPlan, storedPlans } from './plan/stored.ts'
import { ownRoster, readRoster } from './queries.ts'
import { isPriced, retailOf } from './rules.ts'
import type { RosterRow } from './schema.ts'
import { boughtIn, spendFrom, spentOnAll } from './spend/queries.ts'

/** So many entries of each roster are drawn in a list; the others are counted. */
const mostDrawn = 12

/** What the owner alone is told of a roster. */
interface Own {
  reports: readonly { entryId: string; fileId: string }[]
  planned: { plan: ShownPlan; stored: StoredPlan } | null
}

/**
 * Rosters as a list shows them: the viewer's own with how far they have come, what they save and what is next, all as
 * worked out for their own pages; those of others with their entries alone. As many statements for one as for many.
 */
export async function listed(db: Db, viewer: Viewer, rosters: readonly RosterRow[]): Promise<ListedRoster[]> {
  if (rosters.length === 0) return []
  const ids = rosters.map(({ id }) => id)
  const rows = Map.groupBy(await entryRows(db, { rosterIds: ids, drawn: mostDrawn }), ({ rosterId }) => rosterId)
  const mine = rosters.filter(({ owner }) => owner.id === viewer.id).map(({ id }) => id)
  const own = mine.length > 0 ? await ownOf(db, viewer, mine, rows) : new Map<string, Own>()
  const drawn = new Set([...rows.values()].flatMap((some) => some.slice(0, mostDrawn).map(({ id }) => id)))
  const fileIds = [...own.values()]
    .flatMap(({ reports, planned }) => [...reports, ...(planned?.plan.entries ?? [])])
    .filter(({ entryId }) => drawn.has(entryId))
    .map(({ fileId }) => fileId)
  const files = await figuresOf(db, [...new Set(fileIds)])
  return rosters.map((roster) => {
    const some = rows.get(roster.id) ?? []
    const known = own.get(roster.id)
    if (!known) return { ...roster, ranks: outlined(some.map(toldToAll)).slice(0, mostDrawn), own: null }
    const { reports, planned } = known
    const army = some.map((row): ArmyEntry => ({ ...toldToAll(row), state: stateOf(row) }))
    const ranks = ranksOf(army, fileOfEntries(planned?.plan ?? null, reports, files))
    return {
      ...roster,
      ranks: ranks.slice(0, mostDrawn),
      own: {
        stages: ranks.map(({ counts }) => counts),
        toBuy: toBuyOf(army),
        totals: planned?.plan.totals ?? null,
        outOfDate: planned?.plan.outOfDate ?? false,
        boxes: retailOf(some, viewer.group),
        isPriced: isPriced(some, viewer.group),
        next: nextHere(army, planned),
      },
    }
  })
}

/** One of the viewer's own as the list shows it. @throws Problem 403, 404 */
export async function ownListed(db: Db, viewer: Viewer, id: string): Promise<ListedRoster> {
  await ownRoster(db, viewer, id)
  const whole = await readRoster(db, viewer, id)
  const [shown] = await listed(db, viewer, [{ ...whole, entries: whole.entries.length }])
  if (!shown) throw notFound('roster')
  return shown
}

const toldToAll = (row: EntryRow): ArmyEntry => {
  const { id, words, models, standIns, heightMm, shadow } = row
  return { id, words, models, standIns, heightMm, shadow, unit: unitOf(row), state: null }
}

/** By roster, what was printed for it and its plan as it stands now. */
async function ownOf(db: Db, viewer: Viewer, ids: readonly string[], rows: ReadonlyMap<string, EntryRow[]>) {
  const { group } = viewer
  const plans = await storedPlans(db, ids)
  const spent = await spentOnAll(db, viewer, ids, plans)
  const resin = ratesOf(viewer.resin, group)
  return new Map(
    [...spent].map(([id, { reports, purchases, lines }]): [string, Own] => {
      const entries = rows.get(id) ?? []
      const stored = plans.get(id) ?? null
      if (!stored) return [id, { reports, planned: null }]
      const known = { entries, box: retailOf(entries, group), plan: stored, reports, purchases, lines }
      const plan = shownPlan(stored, group, {
        titles: new Map(),
        offers: new Map(),
        bought: new Set(boughtIn(purchases)),
        spend: spendFrom({ ...known, offers: new Map() }, viewer),
        resin,
        entries: boxesOf(entries, group),
      })
      return [id, { reports, planned: { plan, stored } }]
    }),
  )
}
