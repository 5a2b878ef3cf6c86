import type { Db } from '../../../../db/connect.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { filesById } from '../../catalogue/files/queries.ts'
import { offersById } from '../../catalogue/offers/queries.ts'
import { ratesOf } from '../../printing/resins/rules.ts'
import { type EntryRow, entriesOf } from '../entries.ts'
import { retailOf } from '../rules.ts'
import { boughtIn, spendFrom, spentOn } from '../spend/queries.ts'
import { type Around, boxesOf } from './now.ts'
import type { ShownPlan } from './schema.ts'
import { filesNamed, offersIn, shownPlan, titlesOf } from './show.ts'
import { plannedEarlier, type StoredPlan, storedPlan } from './stored.ts'

/** What a plan is shown with and whoever made it has read already. */
type Known = Pick<Around, 'titles' | 'bought' | 'spend'> & { entries: readonly EntryRow[] }

/**
 * The last plan of a roster that is the viewer's.
 *
 * @throws Problem 404 where it was never planned, 409 where an earlier version planned it
 */
export async function readPlan(db: Db, viewer: Viewer, rosterId: string, known?: Known): Promise<ShownPlan> {
  const stored = await storedPlan(db, rosterId)
  if (!stored) throw notFound('plan')
  if (stored === 'of an earlier version') throw plannedEarlier()
  const offers = await offersById(db, viewer, offersIn(stored))
  const { entries, ...around } = known ?? (await aroundOf(db, viewer, stored))
  return shownPlan(stored, viewer.group, {
    ...around,
    offers: new Map(offers.map((offer) => [offer.id, offer])),
    entries: boxesOf(entries, viewer.group),
    resin: ratesOf(viewer.resin, viewer.group),
  })
}

async function aroundOf(db: Db, viewer: Viewer, stored: StoredPlan): Promise<Known> {
  const { group } = viewer
  const files = await filesById(db, viewer, filesNamed(stored))
  const entries = await entriesOf(db, stored.rosterId)
  const { reports, purchases, lines } = await spentOn(db, viewer, stored.rosterId, stored)
  const box = retailOf(entries, group)
  return {
    titles: titlesOf(files),
    entries,
    spend: spendFrom({ entries, box, plan: stored, reports, purchases, lines, offers: new Map() }, viewer),
    bought: new Set(boughtIn(purchases)),
  }
}
