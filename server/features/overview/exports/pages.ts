import { pipeline, Readable } from 'node:stream'
import { stringify } from 'csv-stringify'
import type { FastifyRequest } from 'fastify'
import type { App } from '../../../http/route.ts'
import { type Cell, type Table, tables } from './tables.ts'

/** `/units.csv` and the others: a list as a table for other programs (RFC 4180), to be taken along. */
export function exportPages(app: App): void {
  for (const [name, table] of Object.entries(tables))
    app.get(`/${name}.csv`, (request, reply) => {
      reply.type('text/csv; charset=utf-8').header('content-disposition', `attachment; filename="${name}.csv"`)
      return reply.send(piped(Readable.from(linesOf(request, table)), asCsv(table.columns)))
    })
}

/** A page of the list is read when the one before it has gone out, so a long list takes no more memory than a short one. */
async function* linesOf({ db, member }: FastifyRequest, { page }: Table): AsyncGenerator<Cell[]> {
  let after: string | undefined
  do {
    const { items, next } = await page(db, member, after)
    yield* items
    after = next ?? undefined
  } while (after !== undefined)
}

/** What fails on the way breaks the answer off: a plain pipe would let it end the whole service. */
function piped<To extends NodeJS.ReadWriteStream>(from: Readable, to: To): To {
  pipeline(from, to, () => {})
  return to
}

/**
 * Lines that a spreadsheet takes as text: what would begin a formula there gets an apostrophe first, as OWASP's page on
 * CSV injection has it.
 */
const asCsv = (columns: string[]) =>
  stringify({ columns, header: true, record_delimiter: 'windows', escape_formulas: true })
