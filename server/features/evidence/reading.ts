import { sql } from 'kysely'
import type { Db } from '../../../db/connect.ts'
import type { Print } from '../../scoring/plates.ts'
import { supportSetAges } from './ages.ts'
import type { FitSteps, ToldPlate } from './fit-work.ts'
import { fileWeight, lineKey, sculptorKey } from './rules.ts'

/** Plates that are read at a time: fewer on the embedded database, where everybody else waits meanwhile. */
const portion = 5000
const smallPortion = 500

/**
 * Hands all told plates to a fit.
 *
 * On a server everything is read as it was at one moment. The embedded database has one connection, which others want
 * between two portions; the marks come first there, so whatever changes while plates are read has a mark that stays.
 *
 * @returns the marks that the fit has done away with
 */
export async function readPlates(db: Db, steps: FitSteps, signal: AbortSignal): Promise<string[]> {
  if (!db.getExecutor().adapter.supportsMultipleConnections) return readIn(db, steps, smallPortion, signal)
  const moment = db.transaction().setIsolationLevel('repeatable read').setAccessMode('read only')
  return moment.execute((trx) => readIn(trx, steps, portion, signal))
}

async function readIn(db: Db, steps: FitSteps, most: number, signal: AbortSignal): Promise<string[]> {
  const marks = await db.selectFrom('fitMark').select('id').execute()
  const supports = await supportSets(db)
  let after: string | undefined
  do {
    signal.throwIfAborted()
    const plates = await somePlates(db, after, most)
    await steps.add(plates.flatMap((plate) => told(plate, supports) ?? []))
    after = plates.length === most ? plates.at(-1)?.id : undefined
  } while (after !== undefined)
  return marks.map(({ id }) => id)
}

/** What of a print its supports tell. */
type Supports = ReadonlyMap<string, Pick<Print, 'line' | 'sculptor' | 'fileWeight'>>

async function supportSets(db: Db): Promise<Supports> {
  const ages = await db
    .selectFrom(supportSetAges(db).as('age'))
    .innerJoin('file', 'file.id', 'age.fileId')
    .select(['age.supportSetId', 'age.fileId', 'age.kind', 'file.sculptorId', 'age.lag', 'age.mended'])
    .execute()
  return new Map(
    ages.map(({ supportSetId, lag, mended, ...of }) => {
      return [supportSetId, { line: lineKey(of), sculptor: sculptorKey(of), fileWeight: fileWeight(lag, mended) }]
    }),
  )
}

type StoredPrint = Pick<Print, 'id' | 'good' | 'failures'> & { supportSetId: string }
type StoredPlate = Omit<ToldPlate, 'prints'> & { prints: StoredPrint[] }

/** @returns nothing for one on supports that came after they were read, on the embedded database: its mark stays */
function told({ prints, ...plate }: StoredPlate, supports: Supports): ToldPlate | undefined {
  const known = prints.flatMap(({ supportSetId, ...print }) => {
    const set = supports.get(supportSetId)
    return set ? [{ ...print, ...set }] : []
  })
  return known.length === prints.length ? { ...plate, prints: known } : undefined
}

/** The next told plates in the order of their ids. */
async function somePlates(db: Db, after: string | undefined, most: number): Promise<StoredPlate[]> {
  const { rows } = await sql<StoredPlate>`
    select id, member_id, printer_period_id as period, crowding, printed_on - date '2000-01-01' as day, (
      select json_agg(json_build_object('id', print.id, 'supportSetId', support_set_id, 'good', good, 'failures', (
        select coalesce(json_agg(json_build_object('seen', seen, 'copies', copies) order by seen), '[]')
        from print_failure where print_id = print.id
      )) order by print.id)
      from print where plate_id = plate.id
    ) as prints
    from plate
    where told and ${after === undefined ? sql`true` : sql`id > ${after}`}
      and exists (select from print where plate_id = plate.id)
    order by id limit ${most}`.execute(db)
  return rows
}
