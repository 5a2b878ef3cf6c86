import type { Insertable } from 'kysely'
import { sql } from 'kysely'
import { type Db, inTransaction } from '../connect.ts'
import type { Tables } from '../tables.ts'
import { type Calendar, makingOn } from './calendar.ts'
import { makeFiles } from './files/index.ts'
import { makeMeasures } from './measures.ts'
import { makeMembers } from './members.ts'
import { makeOffers, running } from './offers.ts'
import { makePictures } from './pictures.ts'
import { makePrinters } from './printers.ts'
import { makeReports } from './reports.ts'
import { makeRequests } from './requests.ts'
import { makeResins } from './resins.ts'
import { makeRosters } from './rosters.ts'
import { makeSculptors } from './sculptors.ts'
import { makeSnags } from './snags.ts'
import { makeUnits } from './units.ts'

/** An amount of work a statement takes at most: PostgreSQL allows 65,535 values. */
const rowsAtOnce = 1_000

/**
 * Fills an empty, migrated database with the invented demo group and a year of its life. The same `today` always gives
 * the same rows. Nothing is scored yet: the caller runs the fit afterwards.
 *
 * @param options `today` as `YYYY-MM-DD`, all dates are relative to it; `passwordHash` is everybody's
 */
export async function makeDemo(db: Db, options: { today: string; passwordHash: string }): Promise<void> {
  const demo = demoRows(options)
  await inTransaction(db, async (transaction) => {
    for (const [table, rows] of Object.entries(demo.rows)) await insert(transaction, table as keyof Tables, rows)
    await usePrinters(transaction, demo.usual.printers)
    await useResins(transaction, demo.usual.resins)
    // The embedded database never looks at its tables by itself, and plans badly until somebody has
    await sql`analyze`.execute(transaction)
  })
}

/** All rows, table by table in an order that keeps references whole. */
function demoRows({ today, passwordHash }: { today: string; passwordHash: string }) {
  const making = makingOn(today)
  const members = makeMembers(making, passwordHash)
  const sculptors = makeSculptors(making)
  const units = makeUnits(making, members.ids)
  const files = makeFiles(making, { members: members.ids, sculptors: sculptors.ids, units: units.ids })
  const offers = makeOffers(making, files, members.ids)
  const printers = makePrinters(making, members.ids)
  const requests = makeRequests(making, { members: members.ids, units: units.ids, files: files.ids })
  const reports = makeReports(making, files, printers, members.ids)
  const resins = makeResins(making, members.ids, reports.plates)
  const rosters = makeRosters(making, { members: members.ids, units: units.ids, files, reports })
  const rows = {
    member: members.rows,
    groupSettings: [settings(making.calendar)],
    rate: rates(making.calendar),
    unit: units.rows,
    sculptor: sculptors.rows,
    file: files.rows,
    fileUnit: files.units,
    revision: files.revisions,
    supportSet: files.supportSets,
    measure: makeMeasures(making, files),
    offer: offers.rows,
    offerFile: offers.files,
    offerPrice: offers.prices,
    snag: makeSnags(making, files, members.ids),
    archive: reports.archive,
    runningMembership: runningMemberships(making.calendar, members.ids, offers.membershipIds),
    request: requests.rows,
    proposal: requests.proposals,
    vote: requests.votes,
    printer: printers.rows,
    upkeep: printers.upkeep,
    printerPeriod: printers.periodRows,
    resin: resins.rows,
    plate: reports.plates,
    print: reports.prints,
    printFailure: reports.failures,
    picture: makePictures(making, files, reports),
    roster: rosters.rows,
    rosterEntry: rosters.entries,
    rosterPrint: rosters.prints,
  } satisfies { [Table in keyof Tables]?: Insertable<Tables[Table]>[] }
  return { rows, usual: { printers: printers.usual, resins: resins.usual } }
}

const settings = ({ at }: Calendar): Insertable<Tables['groupSettings']> => ({
  name: 'The Wednesday Shelf',
  currency: 'EUR',
  locale: 'en-GB',
  isDemo: true,
  createdAt: at(470, 18),
  looksWorthMinor: 150,
  resinPricePerKgMinor: 2900,
  cleanUpMinor: 50,
  timePerHourMinor: 400,
  cleanUpPerPlateMinor: 120,
  perPlateMinor: 90,
})

/** Worths of our own invention, in euros; the newest of each currency counts. */
const rates = ({ day }: Calendar): Insertable<Tables['rate']>[] => [
  { currency: 'USD', seenOn: day(300), worth: 0.93 },
  { currency: 'USD', seenOn: day(21), worth: 0.9 },
  { currency: 'GBP', seenOn: day(300), worth: 1.14 },
  { currency: 'GBP', seenOn: day(21), worth: 1.17 },
  { currency: 'JPY', seenOn: day(180), worth: 0.0061 },
]

function runningMemberships(
  { at }: Calendar,
  memberIds: Record<string, string>,
  offerIds: Record<string, string>,
): Insertable<Tables['runningMembership']>[] {
  return running.map(([member, membership], index) => ({
    memberId: memberIds[member] ?? '',
    offerId: offerIds[membership] ?? '',
    createdAt: at(200 - 11 * index, 20),
  }))
}

async function insert(db: Db, table: keyof Tables, rows: readonly object[]): Promise<void> {
  for (let first = 0; first < rows.length; first += rowsAtOnce) {
    // Each table's rows were checked against its columns above; together their type is too wide for the builder
    const some = rows.slice(first, first + rowsAtOnce) as Insertable<Tables[typeof table]>[]
    await db.insertInto(table).values(some).execute()
  }
}

/** Printers come after their owners, so who usually takes which is told last. */
async function usePrinters(db: Db, usual: readonly { id: string; ownerId: string }[]): Promise<void> {
  await db
    .updateTable('member')
    .from('printer')
    .set((eb) => ({ defaultPrinterId: eb.ref('printer.id') }))
    .whereRef('printer.ownerId', '=', 'member.id')
    .where(
      'printer.id',
      'in',
      usual.map(({ id }) => id),
    )
    .execute()
}

/** As `usePrinters`. */
async function useResins(db: Db, usual: readonly { id: string; ownerId: string }[]): Promise<void> {
  for (const { id, ownerId } of usual) {
    await db.updateTable('member').set({ defaultResinId: id }).where('id', '=', ownerId).execute()
  }
}
