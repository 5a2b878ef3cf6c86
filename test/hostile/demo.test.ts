import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../db/connect.ts'
import { makeDemo } from '../../db/demo/index.ts'
import { hashPassword } from '../../server/features/people/members/passwords.ts'
import type { App } from '../../server/http/route.ts'
import { outsider, Person, password, startApp } from '../support/app.ts'
import { aMeasure } from '../support/catalogue.ts'
import { demoStore } from '../support/demo-store.ts'
import { refitHere } from '../support/kept.ts'
import { apiCalls, isChange, leak } from './calls.ts'
import { crawl, troubles, type Visited } from './crawl.ts'
import { routesOf } from './routes.ts'

/** In the demo this word stands in the name and the links of the one sculptor who asked not to be named, and nowhere else. */
const unnamed = /grebe/i

let app: App
let db: Db
let close: () => Promise<void>
let asker: Person
let writer: Person
let steward: Person
let theirFiles: string[]

beforeAll(async () => {
  ;({ app, db, close } = await startApp({ pictures: await demoStore() }))
  await makeDemo(db, { today: new Date().toISOString().slice(0, 10), passwordHash: await hashPassword(password) })
  await refitHere(db)
  asker = await signedIn('asker')
  // Whoever wrote a name reads it, so somebody else has to have written it.
  writer = await signedIn('printer')
  steward = await signedIn('steward')
  const rows = db.selectFrom('file').innerJoin('sculptor', 'sculptor.id', 'file.sculptorId').select('file.id')
  theirFiles = (await rows.where('credit', '=', 'unnamed').execute()).map(({ id }) => id)
  await db
    .updateTable('offer')
    .set({ createdBy: writer.id })
    .where('createdBy', '=', asker.id)
    .where('url', 'ilike', '%grebe%')
    .execute()
  await writeTheNameEverywhere()
})
afterAll(() => close())

async function signedIn(mailbox: string): Promise<Person> {
  const answer = await outsider(app).post('/sessions', { email: `${mailbox}@demo.example`, password })
  const [cookie] = answer.cookies
  return new Person(app, answer.json().memberId, `${cookie?.name}=${cookie?.value}`)
}

/** Where a member may write something about a file, the name gets written: before it was asked to be left out, say. */
async function writeTheNameEverywhere(): Promise<void> {
  const [proposed = '', settled = ''] = theirFiles
  const words = 'By Hollis Grebe, see https://hollis-grebe.example/set'
  const headers = { headers: { 'if-match': '*' } }
  for (const id of [proposed, settled]) {
    const title = `${(await steward.get(`/files/${id}`)).json().title} (Hollis Grebe)`
    const change = {
      title,
      options: ['Hollis Grebe’s banner'],
      styleTags: ['hollis grebe'],
      licence: words,
      remark: words,
    }
    expect((await steward.patch(`/files/${id}`, change, headers)).statusCode).toBe(200)
    const [revision] = (await steward.get(`/files/${id}`)).json().revisions
    const snag = { revisionId: revision.id, kind: 'fragile detail', severity: 'only looks', part: 'Hollis Grebe’s arm' }
    expect((await steward.post(`/files/${id}/snags`, { ...snag, detail: words })).statusCode).toBe(201)
    const unit = { name: `Stand-ins for ${id.slice(-4)}`, scaleMm: 28 }
    const request = (await writer.post('/requests', { unit, wanted: 5 })).json()
    const proposal = await writer.post(`/requests/${request.id}/proposals`, { fileId: id, remark: words })
    expect(proposal.statusCode).toBe(201)
    expect((await asker.put(`/archive/${id}`)).statusCode).toBe(204)
    if (id === settled) await writer.patch(`/requests/${request.id}`, { state: 'settled', fileId: id })
    const [set] = revision.supportSets
    const [printer] = (await writer.get(`/printers?memberId=${writer.id}`)).json().items
    const report = { supportSetId: set.id, printerId: printer.id, printedOn: '2025-06-01', crowding: 'half empty' }
    expect((await writer.post('/reports', { ...report, tried: 4, good: 4, remark: words })).statusCode).toBe(201)
  }
}

const starts = [
  '/',
  '/units',
  '/files',
  '/sculptors',
  '/printers',
  '/archive',
  '/members',
  '/settings',
  '/me',
  '/search',
]
const searches = [
  '/search?q=fen',
  '/units?q=warden',
  '/files?q=pack',
  '/sculptors?q=a',
  '/reports/new?q=pack',
  '/archive?q=pack',
]

describe('every page of the demo group that links lead to', () => {
  const seenBy: Record<string, Visited[]> = {}

  test.each([
    ['member', () => asker, 500],
    ['steward', () => steward, 200],
    ['outsider', () => outsider(app), 50],
  ])(
    'is fine for a %s',
    async (name, who, most) => {
      const visited = await crawl(who(), [...starts, ...searches], most)
      seenBy[name] = visited
      expect(troubles(visited, routesOf(app))).toEqual([])
      const pages = new Set(visited.filter(({ status }) => status === 200).map(({ url }) => url))
      expect(pages.size).toBeGreaterThan(name === 'outsider' ? 2 : 150)
    },
    120_000,
  )

  test('names the sculptor who asked not to be named to stewards, and to nobody else', () => {
    for (const name of ['member', 'outsider'])
      expect([name, seenBy[name]?.filter(({ body }) => unnamed.test(body)).map(({ url }) => url)]).toEqual([name, []])
    expect(seenBy.steward?.filter(({ body }) => unnamed.test(body)).length).toBeGreaterThan(5)
  })
})

describe('every answer of the API', () => {
  /** Everything that a member can read, by id: all that there is of most kinds. */
  async function addresses(): Promise<string[]> {
    const ids = async (table: 'unit' | 'file' | 'sculptor' | 'offer' | 'snag' | 'request' | 'proposal' | 'printer') =>
      (await db.selectFrom(table).select('id').execute()).map(({ id }) => id)
    const revisions = await db.selectFrom('revision').select('id').where('fileId', 'in', theirFiles).execute()
    const sets = await db
      .selectFrom('supportSet')
      .innerJoin('revision', 'revision.id', 'revisionId')
      .select('supportSet.id')
      .where('fileId', 'in', theirFiles)
      .execute()
    for (const { id } of revisions) await aMeasure(steward, `/revisions/${id}`)
    for (const { id } of sets) await aMeasure(steward, `/support-sets/${id}`)
    const reports = await db
      .selectFrom('print')
      .innerJoin('supportSet', 'supportSet.id', 'print.supportSetId')
      .innerJoin('revision', 'revision.id', 'supportSet.revisionId')
      .select(['print.id', 'plateId'])
      .where('fileId', 'in', theirFiles)
      .execute()
    const all: Record<string, string[]> = {
      units: await ids('unit'),
      files: await ids('file'),
      sculptors: await ids('sculptor'),
      offers: await ids('offer'),
      snags: await ids('snag'),
      requests: await ids('request'),
      proposals: await ids('proposal'),
      printers: await ids('printer'),
      members: [asker.id, steward.id],
      revisions: revisions.map(({ id }) => id),
      'support-sets': sets.map(({ id }) => id),
      reports: reports.map(({ id }) => id),
      plates: [...new Set(reports.map(({ plateId }) => plateId))],
    }
    const gets = Object.keys(apiCalls).filter((route) => !isChange(route) && !route.includes('/invitations'))
    return gets.flatMap((route) => {
      const path = route.replace('GET /api/v1', '')
      const [, kind = ''] = /^\/([a-z-]+)\/:/.exec(path) ?? []
      return kind ? (all[kind] ?? []).map((id) => path.replace(/:\w+/, id)) : [path, `${path}?limit=100`]
    })
  }

  test('is fine, and names nobody to a member who asked not to be named', async () => {
    const paths = [...(await addresses()), ...(await morePages())]
    expect(paths.length).toBeGreaterThan(300)
    const named: string[] = []
    for (const path of paths) {
      const answer = await asker.get(path)
      // A sculptor who asked not to be named is hidden altogether.
      expect([path, [200, ...(path.startsWith('/sculptors/') ? [404] : [])]]).toEqual([
        path,
        expect.arrayContaining([answer.statusCode]),
      ])
      expect(leak(answer)).toBeUndefined()
      if (unnamed.test(answer.body) || unnamed.test(JSON.stringify(answer.headers))) named.push(path)
    }
    expect(named).toEqual([])
  })

  /** The lists, page by page. */
  async function morePages(): Promise<string[]> {
    const pages: string[] = []
    for (const list of ['/files', '/units', '/requests', '/reports', '/plates', '/archive']) {
      for (let after: string | null = ''; after !== null; ) {
        const path: string = `${list}?limit=100${after && `&after=${after}`}`
        pages.push(path)
        after = (await asker.get(path)).json().next
      }
    }
    return pages
  }

  test('names them to a steward', async () => {
    const theirs = theirFiles.map((id) => `/files/${id}`)
    for (const path of [...theirs, '/sculptors?limit=100', '/files?q=hollis%20grebe'])
      expect([path, unnamed.test((await steward.get(path)).body)]).toEqual([path, true])
  })

  test('finds nothing of theirs by the name for a member, in any spelling, by either door', async () => {
    for (const q of [
      'grebe',
      'Hollis Grebe',
      'hollis',
      'HOLLIS-GREBE',
      'holis greb',
      'grébe',
      'hollis-grebe.example',
    ]) {
      const query = `?q=${encodeURIComponent(q)}`
      const { items } = (await asker.get(`/files${query}&limit=100`)).json()
      expect([q, items.filter(({ id }: { id: string }) => theirFiles.includes(id))]).toEqual([q, []])
      expect([
        q,
        (await asker.get(`/sculptors${query}`)).json().items.map(({ name }: { name: string }) => name),
      ]).toEqual([q, expect.not.arrayContaining(['Hollis Grebe'])])
      for (const url of ['/search', '/files', '/files/suggest', '/sculptors/suggest', '/archive', '/reports/new']) {
        const { body } = await asker.page(`${url}${query}`)
        // The word that was looked for is shown again; the rest of the name is not.
        const rest = q.toLowerCase().includes('hollis') ? /no such check/ : /hollis/i
        expect([url, q, rest.test(body)]).toEqual([url, q, false])
        // One's own things are listed in any case.
        const own = url === '/archive' || url === '/reports/new'
        const linked = own ? [] : theirFiles.filter((id) => body.includes(id))
        expect([url, q, linked]).toEqual([url, q, []])
      }
    }
  })
})
