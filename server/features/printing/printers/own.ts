import type { FastifyRequest } from 'fastify'
import { groupOf, todayIn } from '../../../http/group.ts'
import type { Viewer } from '../../../http/session.ts'
import { looksOf } from './queries.ts'
import { retired } from './rules.ts'
import type { Look } from './schema.ts'

/** The printers of whoever asks that are in use, as they were added, and whether each wants a look before the next plate. */
export async function ownPrintersInUse({
  db,
  member,
  server,
}: FastifyRequest): Promise<{ id: string; name: string; look: Look }[]> {
  const printers = await db
    .selectFrom('printer')
    .select(['id', 'name', 'state'])
    .where('ownerId', '=', member.id)
    .where('state', '=', 'in use')
    .orderBy('id')
    .execute()
  const today = todayIn((await groupOf(db)).timeZone, server.now())
  const looks = await looksOf(db, printers, today)
  return printers.map((printer) => ({ ...printer, look: looks.get(printer.id) ?? retired }))
}

/** Of a member's printers in use the one that they said is their usual one, or the first that they added. */
export const usualOf = <Printer extends { id: string }>(
  inUse: readonly Printer[],
  { defaultPrinterId }: Viewer,
): Printer | undefined => inUse.find(({ id }) => id === defaultPrinterId) ?? inUse[0]
