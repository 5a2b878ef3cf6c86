import { type ExpressionBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { jsonRows } from '../../../../db/json.ts'
import { often } from '../../../../db/often.ts'
import type { Tables } from '../../../../db/tables.ts'
import { mayChange } from '../../../http/access.ts'
import { fromMinor } from '../../../http/money.ts'
import { notFound } from '../../../http/problem.ts'
import type { Viewer } from '../../../http/session.ts'
import { discreet, sculptorColumns, shownTitle } from '../files/rules.ts'
import { writerOf } from '../sculptors/own-words.ts'
import { shownLink } from './rules.ts'
import type { Offer } from './schema.ts'

/** The files that each row of `offer` opens, with their sculptors. */
const opened = (eb: ExpressionBuilder<Tables, 'offer'>) =>
  eb
    .selectFrom('offerFile')
    .innerJoin('file', 'file.id', 'offerFile.fileId')
    .innerJoin('sculptor', 'sculptor.id', 'file.sculptorId')
    .select(['file.id', 'file.title', ...sculptorColumns])
    .whereRef('offerFile.offerId', '=', 'offer.id')
    .orderBy('file.id')

const history = (eb: ExpressionBuilder<Tables, 'offer'>) =>
  eb
    .selectFrom('offerPrice')
    .select(['priceMinor', 'priceCurrency', 'state', 'seenOn'])
    .whereRef('offerPrice.offerId', '=', 'offer.id')
    .orderBy('offerPrice.id')

const running = (eb: ExpressionBuilder<Tables, 'offer'>, viewerId: string) =>
  eb
    .selectFrom('runningMembership')
    .select('offerId')
    .whereRef('runningMembership.offerId', '=', 'offer.id')
    .where('memberId', '=', viewerId)

const offers = (db: Db, viewerId: string) =>
  db
    .selectFrom('offer')
    .innerJoin('member', 'member.id', 'offer.createdBy')
    .select(['offer.id', 'kind', 'offer.title', 'priceMinor', 'priceCurrency', 'minMonths', 'url', 'offer.state'])
    .select(['offer.seenOn', 'offer.createdBy', 'member.name as author', 'offer.createdAt', 'offer.version'])
    .select((eb) => [
      'offer.othersWords',
      jsonRows(opened(eb)).as('opens'),
      jsonRows(history(eb)).as('history'),
      eb.exists(running(eb, viewerId)).$castTo<boolean>().as('runs'),
    ])
    .orderBy(sql`offer.state = 'withdrawn'`)
    .orderBy('offer.id')

type Row = Awaited<ReturnType<ReturnType<typeof offers>['executeTakeFirstOrThrow']>>

/** An offer with what the pages show besides. */
export interface ShownOffer extends Offer {
  /** the viewer pays for this membership */
  runs: boolean
  /** there is a link that the viewer is not shown */
  linkHidden: boolean
  mayChange: boolean
}

const collator = new Intl.Collator('en')

/** In the order of the titles as they are shown: that of the whole ones would tell what is left out of some. */
const byTitle = (files: { id: string; title: string }[]) =>
  files.toSorted((one, other) => collator.compare(one.title, other.title) || (one.id < other.id ? -1 : 1))

/** Takes away what the viewer may not see. */
function shown(row: Row, viewer: Viewer): ShownOffer {
  const unnamed = row.opens.filter((file) => file.sculptorCredit === 'unnamed')
  const by = (field: string) => writerOf(row, field)
  const url = shownLink({ ...row, opensUnnamed: unnamed.length > 0, by: by('url') }, viewer)
  return {
    id: row.id,
    kind: row.kind,
    title: unnamed.reduce((title, file) => discreet(title, file, viewer, by('title')), row.title),
    price: fromMinor(row.priceMinor, row.priceCurrency),
    minMonths: row.minMonths,
    url,
    linkHidden: url === null && row.url !== null,
    runs: row.runs,
    mayChange: mayChange(viewer, row.createdBy),
    state: row.state,
    seenOn: row.seenOn,
    files: byTitle(row.opens.map((file) => ({ id: file.id, title: shownTitle(file, viewer) }))),
    prices: row.history.map(({ priceMinor, priceCurrency, state, seenOn }) => ({
      price: fromMinor(priceMinor, priceCurrency),
      state,
      seenOn,
    })),
    createdBy: { id: row.createdBy, name: row.author },
    createdAt: row.createdAt.toISOString(),
    version: row.version,
  }
}

/** The offers that open a file, with their price history; the withdrawn ones last. */
export async function offersOf(db: Db, viewer: Viewer, fileId: string): Promise<ShownOffer[]> {
  const rows = await offersByFile(db, { fileId, viewerId: viewer.id })
  return rows.map((row) => shown(row, viewer))
}

const offersByFile = often((db, { fileId, viewerId }: { fileId: string; viewerId: string }) =>
  offers(db, viewerId).where((eb) =>
    eb('offer.id', 'in', eb.selectFrom('offerFile').select('offerFile.offerId').where('fileId', '=', fileId)),
  ),
)

/** These offers, as far as they exist. */
export async function offersById(db: Db, viewer: Viewer, ids: string[]): Promise<ShownOffer[]> {
  if (ids.length === 0) return []
  const rows = await offers(db, viewer.id).where('offer.id', 'in', ids).execute()
  return rows.map((row) => shown(row, viewer))
}

/** @throws Problem 404 */
export async function readOffer(db: Db, viewer: Viewer, id: string): Promise<ShownOffer> {
  const [found] = await offersById(db, viewer, [id])
  if (!found) throw notFound('offer')
  return found
}
