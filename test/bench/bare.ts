import fastify from 'fastify'
import { Pool } from 'pg'

/*
 * The least that answers with a page of data: a Fastify handler that asks one indexed query of the database at argv[2] and
 * sends as many bytes as its address says. A program of its own, as the service is.
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

console.log(`listens at ${await app.listen({ port: 0, host: '127.0.0.1' })}`)
