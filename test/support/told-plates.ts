import { v7 } from 'uuid'
import { type Db, inTransaction } from '../../db/connect.ts'
import type { Crowding, Seen } from '../../db/tables.ts'
import { markForFit } from '../../server/features/evidence/queries.ts'

/*
 * Plates as rows, for what is about figures and not about how a plate is told: quicker than calls by the hundred.
 */

export interface PlateOver {
  id?: string
  memberId: string
  printerId: string
  printedOn?: string
  crowding?: Crowding
  prints: { id?: string; supportSetId: string; good: number; failures?: { seen: Seen; copies: number }[] }[]
}

/** A told plate in the printer's period of its day, with its mark. @returns its id */
export async function aToldPlate(db: Db, over: PlateOver): Promise<string> {
  const { id = v7(), memberId, printerId, printedOn = '2025-06-01', crowding = 'about full' } = over
  const period = await db
    .selectFrom('printerPeriod')
    .select('id')
    .where('printerId', '=', printerId)
    .where((eb) => eb.or([eb('startsOn', 'is', null), eb('startsOn', '<=', printedOn)]))
    .orderBy('startsOn', (order) => order.desc().nullsLast())
    .executeTakeFirstOrThrow()
  await inTransaction(db, async (trx) => {
    const plate = { id, memberId, printerId, printerPeriodId: period.id, printedOn, crowding }
    await trx.insertInto('plate').values(plate).execute()
    const prints = over.prints.map((print) => ({ id: v7(), failures: [], ...print, plateId: id }))
    const rows = prints.map(({ failures, good, ...print }) => {
      return { ...print, good, tried: failures.reduce((sum, { copies }) => sum + copies, good) }
    })
    await trx.insertInto('print').values(rows).execute()
    const failed = prints.flatMap((print) => print.failures.map((failure) => ({ printId: print.id, ...failure })))
    if (failed.length > 0) await trx.insertInto('printFailure').values(failed).execute()
    await markForFit(trx, id)
  })
  return id
}
