import { sql } from 'kysely'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { made } from '../../support/catalogue.ts'

const { db, odile, ada, close } = await startGroup()
afterAll(close)

const first = ['Drowned', 'Ashen', 'Salt', 'Hollow', 'Iron']
const second = ['Sentinel', 'Warden', 'Oarsman', 'Piper']
const sculptors: { id: string; name: string }[] = []

beforeAll(async () => {
  for (const [place, words] of first.flatMap((one) => second.map((two) => `${one} ${two}`)).entries()) {
    const sculptor = { name: `Marrow Mill ${place % 3}` }
    const file = made<{ sculptor: { id: string } }>(await ada.post('/files', { title: words, sculptor }))
    if (place < 3) sculptors.push({ id: file.sculptor.id, name: sculptor.name })
  }
})

const found = async (q: string, limit = 10) => {
  const { items } = (await ada.get(`/files?${new URLSearchParams({ q, limit: String(limit) })}`)).json()
  return (items as { id: string }[]).map(({ id }) => id)
}

/** Every file compared with the words, one by one. */
async function compared(q: string, limit: number) {
  const text = sql`plain(title) || ' / ' || plain(sculptor.name)`
  const { rows } = await sql<{ id: string }>`
    select file.id from file join sculptor on sculptor.id = file.sculptor_id
    where word_similarity(plain(${q}), ${text}) >= 0.35 or strpos(${text}, plain(${q})) > 0
    order by strpos(${text}, plain(${q})) > 0 desc, word_similarity(plain(${q}), ${text}) desc, file.id desc
    limit ${limit}`.execute(db)
  return rows.map(({ id }) => id)
}

test('the index finds what comparing every file would, in the same order', async () => {
  const asked = [
    'drowned sentnel',
    'sentinel',
    'Sálts',
    'hollw pipr',
    'sentnel',
    'sentinel drowned',
    'drowned sentnel kraken',
    'warden mill 2',
    'marow mil',
    'xyzzy',
    'a',
    '100%_!',
  ]
  for (const q of asked)
    for (const limit of [1, 4, 50]) expect(await found(q, limit), q).toEqual(await compared(q, limit))
  expect(await found('drowned sentnel', 1)).toHaveLength(1)
})

async function change(sculptor: { id: string } | undefined, to: Record<string, string>) {
  const answer = await odile.patch(`/sculptors/${sculptor?.id}`, to, { headers: { 'if-match': '"1"' } })
  expect(answer.statusCode).toBe(200)
}

test('a sculptor is looked for by the name they have now, and one who asked not to be named by none', async () => {
  const [renamed, hidden] = sculptors
  await change(renamed, { name: 'Tarn & Daughters' })
  expect(await found('tarn daughters', 50)).toEqual(await compared('tarn daughters', 50))
  expect(await found('tarn daughters', 50)).toHaveLength(7)
  await change(hidden, { credit: 'unnamed' })
  const kept = await db
    .selectFrom('file')
    .select('search')
    .where('sculptorId', '=', hidden?.id ?? '')
    .execute()
  expect(kept.map(({ search }) => search).filter((text) => text.includes('mill'))).toEqual([])
})

test('what is nearest is found beside hundreds that are near enough as well', async () => {
  await sql`insert into file (id, title, sculptor_id, created_by)
    select gen_random_uuid(), 'Mossy Trapper ' || n, sculptor_id, created_by
    from generate_series(1, 300) n, (select sculptor_id, created_by from file limit 1) one`.execute(db)
  const { id } = made(await ada.post('/files', { title: 'Mossy Ferrymen', sculptor: { name: 'Marrow Mill 3' } }))
  const near = await found('mossy ferymn')
  expect(near).toHaveLength(10)
  expect(near[0]).toBe(id)
})
