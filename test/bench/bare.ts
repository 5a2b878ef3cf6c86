import fastify from 'fastify'
import { Pool } from 'pg'
import { v7 } from 'uuid'

/*
 * The least that answers with a page of data, or keeps a report, in the database at argv[2]: Fastify handlers that ask nobody
 * who they are and check nothing. A page is one indexed query and as many bytes as its address says; a report is its rows in
 * one transaction. A program of its own, as the service is.
 */

const pool = new Pool({ connectionString: process.argv[2] })
const app = fastify()

app.get<{ Params: { id: string; bytes: string } }>('/:id/:bytes', async ({ params }, reply) => {
  const { rows } = await pool.query<{ title: string }>('select id, title from file where id = $1', [params.id])
  return reply.type('text/html; charset=utf-8').send(filled(rows[0]?.title ?? '', Number(params.bytes)))
})

const filled = (title: string, bytes: number) => title + pageOf(bytes).slice(title.length)

const pages = new Map<number, string>()

function pageOf(bytes: number): string {
  const page = pages.get(bytes) ?? 'x'.repeat(bytes)
  pages.set(bytes, page)
  return page
}

interface Report {
  supportSetId: string
  printerId: string
  printedOn: string
  crowding: string
  tried: number
  good: number
  failures: { seen: string; copies: number }[]
}

/** The rows that the service keeps of a report, one statement each. */
app.post<{ Params: { member: string; period: string }; Body: Report }>(
  '/reports/:member/:period',
  async ({ params, body }, reply) => {
    const id = v7()
    const { supportSetId, printerId, printedOn, crowding, tried, good, failures } = body
    const client = await pool.connect()
    await client.query('begin')
    await client.query(
      `insert into plate (id, member_id, printer_id, printer_period_id, printed_on, crowding)
        values ($1, $2, $3, $4, $5, $6)`,
      [id, params.member, printerId, params.period, printedOn, crowding],
    )
    await client.query('insert into print (id, plate_id, support_set_id, tried, good) values ($1, $1, $2, $3, $4)', [
      id,
      supportSetId,
      tried,
      good,
    ])
    for (const { seen, copies } of failures)
      await client.query('insert into print_failure (print_id, seen, copies) values ($1, $2, $3)', [id, seen, copies])
    await client.query('insert into fit_mark (id, plate_id) values ($1, $2)', [v7(), id])
    await client.query('commit')
    client.release()
    return reply.code(201).send({ id })
  },
)

console.log(`listens at ${await app.listen({ port: 0, host: '127.0.0.1' })}`)
