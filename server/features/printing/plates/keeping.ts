import { type InferResult, sql } from 'kysely'
import { v7 } from 'uuid'
import type { Db } from '../../../../db/connect.ts'
import { type InJson, jsonRows } from '../../../../db/json.ts'
import { often } from '../../../../db/often.ts'
import type { Crowding } from '../../../../db/tables.ts'
import { invalid, pointer } from '../../../http/problem.ts'
import { periodOfDay } from '../upkeep/queries.ts'
import { inTheirList, supportsById } from './places.ts'
import type { ChangedPrint, NewPlate, NewPrint } from './schema.ts'

type KeptPrint = NewPrint & { id: string }
type WholePlate = Omit<NewPlate, 'prints' | 'crowding'> & {
  id: string
  memberId: string
  crowding: Crowding
  crowdingWorkedOut: boolean
}

const ofPrint = ['id', 'support_set_id', 'tried', 'good', 'mended', 'mended_minutes']
const printColumns = sql.raw(ofPrint.join(', '))
const givenColumns = sql.raw(ofPrint.map((column) => `given.${column}`).join(', '))

const printsAsJson = (prints: readonly KeptPrint[]) =>
  JSON.stringify(
    prints.map(({ id, supportSetId, tried, good, mended, mendedMinutes }) => ({
      id,
      support_set_id: supportSetId,
      tried,
      good,
      mended,
      mended_minutes: mendedMinutes,
    })),
  )

const failuresAsJson = (prints: readonly KeptPrint[]) =>
  JSON.stringify(prints.flatMap(({ id, failures }) => failures.map((failure) => ({ print_id: id, ...failure }))))

const printRows = (json: string) =>
  sql`json_to_recordset(${json}::json) as given (id uuid, support_set_id uuid, tried integer, good integer, mended integer, mended_minutes integer)`

const failureRows = (json: string) =>
  sql`json_to_recordset(${json}::json) as given (print_id uuid, seen text, copies integer)`

/** What a plate names, as it is when it is kept, and what the database adds; null where there is no such thing. */
interface Named {
  printer: { ownerId: string; state: 'in use' | 'retired'; name: string } | null
  resin: { state: 'in use' | 'retired'; name: string } | null
  supports: InJson<Supports>
  createdAt: Date | null
  version: number
}

type Supports = InferResult<ReturnType<typeof supportsById>>[number]

/**
 * Writes a new plate with its prints, their failures, and once it is told the mark for the scoring: one statement, which
 * needs no transaction around it. The printer gets no other upkeep period meanwhile, so that the plate is counted to the
 * right one; reports on the same printer don't wait for each other. Nothing is written unless all that the plate names may
 * be named: read the answer by `ownPrinter`, `usable` and `supported`, which say why not.
 */
export async function keepPlate(db: Db, plate: WholePlate, prints: readonly KeptPrint[]): Promise<Named> {
  const ids = prints.map(({ supportSetId }) => supportSetId)
  const its = printsAsJson(prints)
  const [row] = await keep(db, { ...plate, mark: v7(), ids, its, failed: failuresAsJson(prints) })
  if (!row) throw new Error('a plate was not kept')
  return row
}

type Written = Omit<WholePlate, 'prints'> & { mark: string; ids: string[]; its: string; failed: string }

const keep = often((db, { id, memberId, printerId, printedOn, resinId, told, ...rest }: Written) => {
  const { crowding, crowdingWorkedOut, remark, mark, ids, its, failed } = rest
  return sql<Named>`
    with printer as materialized (
      select id, owner_id, state, name from printer where id = ${printerId} for key share
    ), resin as materialized (
      select id, name, state from resin where id = ${resinId} and owner_id = ${memberId} for share
    ), kept as (
      insert into plate (id, member_id, printer_id, printer_period_id, printed_on, crowding,
        crowding_worked_out, resin_id, remark, told)
      select ${id}, ${memberId}, id, ${periodOfDay(sql`printer.id`, printedOn)}, ${printedOn}, ${crowding},
        ${crowdingWorkedOut}, ${resinId}, ${remark}, ${told}
      from printer
      where owner_id = ${memberId} and state = 'in use'
        and (${resinId}::uuid is null or exists (select from resin where state = 'in use'))
        and not exists (
          select from unnest(${ids}::uuid[]) named (id) left join support_set on support_set.id = named.id
          where support_set.id is null
        )
      returning id, created_at, version
    ), its_print as (
      insert into print (plate_id, ${printColumns}) select kept.id, ${givenColumns} from kept, ${printRows(its)}
    ), failed as (
      insert into print_failure (print_id, seen, copies) select print_id, seen, copies from kept, ${failureRows(failed)}
    ), marked as (
      insert into fit_mark (id, plate_id) select ${mark}::uuid, id from kept where ${told}::boolean
    )
    select created_at, version,
      (select json_build_object('ownerId', owner_id, 'state', state, 'name', name) from printer) as printer,
      (select json_build_object('state', state, 'name', name) from resin) as resin,
      ${jsonRows(supportsById(db, ids))} as supports
    from (values (true)) always left join kept on true`
})

/**
 * Puts these prints in the place of those that a plate has. One that is told with its id, or with the same supports,
 * stays the print that it is.
 *
 * @param trx in which the plate is locked
 * @throws Problem 422 for the id of another plate's print
 */
export async function replacePrints(trx: Db, plateId: string, prints: readonly ChangedPrint[]): Promise<void> {
  const before = await trx.selectFrom('print').select(['id', 'supportSetId']).where('plateId', '=', plateId).execute()
  const kept = withIds(prints, before)
  const ids = kept.map(({ id }) => id)
  await trx.deleteFrom('print').where('plateId', '=', plateId).where('id', 'not in', ids).execute()
  await sql`
    insert into print (plate_id, ${printColumns}) select ${plateId}::uuid, ${printColumns} from ${printRows(printsAsJson(kept))}
    on conflict (id) do update set support_set_id = excluded.support_set_id, tried = excluded.tried,
      good = excluded.good, mended = excluded.mended, mended_minutes = excluded.mended_minutes`.execute(trx)
  await trx.deleteFrom('printFailure').where('printId', 'in', ids).execute()
  await sql`insert into print_failure (print_id, seen, copies)
    select print_id, seen, copies from ${failureRows(failuresAsJson(kept))}`.execute(trx)
  // What a print is of may have changed with it, and so what its pictures show.
  await sql`update picture set file_id = revision.file_id
    from print join support_set on support_set.id = print.support_set_id
      join revision on revision.id = support_set.revision_id
    where picture.print_id = print.id and print.plate_id = ${plateId}
      and picture.file_id <> revision.file_id`.execute(trx)
}

function withIds(prints: readonly ChangedPrint[], before: readonly { id: string; supportSetId: string }[]) {
  const claimed = new Set(prints.map(({ id }) => id))
  return prints.map((print, index): KeptPrint => {
    const isTwice = prints.findIndex(({ id }) => id === print.id) !== index
    if (print.id && (isTwice || !before.some(({ id }) => id === print.id)))
      throw invalid(pointer([...inTheirList(index), 'id']), 'The plate has no such print.')
    const same = before.find(({ id, supportSetId }) => supportSetId === print.supportSetId && !claimed.has(id))
    return { ...print, id: print.id ?? same?.id ?? v7() }
  })
}
