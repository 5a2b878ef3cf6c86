import { type RawBuilder, sql } from 'kysely'
import type { Db } from '../../../../db/connect.ts'
import { fromMinor } from '../../../http/money.ts'
import type { Me } from '../members/schema.ts'

/** The day of a member's last such plate; null where there is none. */
const lastPlate = (memberId: string, isSuch: RawBuilder<unknown>) =>
  sql<string | null>`(select max(printed_on) from plate where member_id = ${memberId} and ${isSuch})`

/** The member's usual printer, and when they last printed on it; null without one. */
export async function usualPrinter(db: Db, { id, defaultPrinterId }: Me) {
  if (!defaultPrinterId) return null
  const row = await db
    .selectFrom('printer')
    .select(['printer.id', 'name', 'plateWidthMm', 'plateDepthMm', 'buildHeightMm'])
    .select(lastPlate(id, sql`printer_id = printer.id`).as('lastPrintedOn'))
    .where('printer.id', '=', defaultPrinterId)
    .executeTakeFirst()
  if (!row) return null
  const { plateWidthMm, plateDepthMm, ...printer } = row
  return { ...printer, plateMm: [plateWidthMm, plateDepthMm] as [number, number] }
}

/** The member's usual resin, what it cost, and when they last printed with it; null without one. */
export async function usualResin(db: Db, { id, defaultResinId }: Me) {
  if (!defaultResinId) return null
  const row = await db
    .selectFrom('resin')
    .select(['resin.id', 'name', 'priceMinor', 'priceCurrency', 'bottleG', 'bottleMl'])
    // A plate that names none was printed with the usual one.
    .select(lastPlate(id, sql`(resin_id = resin.id or resin_id is null)`).as('lastPrintedOn'))
    .where('resin.id', '=', defaultResinId)
    .executeTakeFirst()
  if (!row) return null
  const { priceMinor, priceCurrency, ...resin } = row
  return { ...resin, price: fromMinor(priceMinor, priceCurrency) }
}
