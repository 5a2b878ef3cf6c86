import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { member, outsider, type Person, password, startApp, startGroup } from '../support/app.ts'
import { aFile, aRevision, aSupportSet, aUnit } from '../support/catalogue.ts'
import { hasConnections, type Statement, whileHeld } from '../support/held.ts'
import { aPrinter } from '../support/printing.ts'
import { aProposal, aRequest } from '../support/requests.ts'
import { planned, twoUnits } from '../support/rosters.ts'

/*
 * What there is once: whoever wants it waits for whoever is just taking it, and is then told that it is taken. As in
 * held-rows.test.ts, on PostgreSQL alone; at-once.test.ts has what comes out on both databases.
 */

let group: Awaited<ReturnType<typeof startGroup>>
let ada: Person
beforeAll(async () => {
  group = await startGroup()
  ;({ ada } = group)
})
afterAll(() => group.close())

const held = <Answer>(done: Statement, call: () => Promise<Answer>) => whileHeld(group.place, done, call)
const named = (table: string, column: string, id: string, name: string): Statement => [
  `update ${table} set ${column} = $2 where id = $1`,
  id,
  name,
]

describe.runIf(hasConnections)('what is just being taken is waited for, and then taken', () => {
  test('name of a unit', async () => {
    const { id } = await aUnit(ada)
    const call = () => ada.post('/units', { name: 'Held Owls', scaleMm: 28 })
    expect((await held(named('unit', 'name', id, 'Held Owls'), call)).statusCode).toBe(409)
  })

  test('title of a file', async () => {
    const { id } = await aFile(ada, { sculptor: { name: 'Held Bench' } })
    const call = () => ada.post('/files', { title: 'Held Masks', sculptor: { name: 'Held Bench' } })
    expect((await held(named('file', 'title', id, 'Held Masks'), call)).statusCode).toBe(409)
  })

  test('name of a sculptor, who is then the one of the new file', async () => {
    const { sculptor } = (await ada.get(`/files/${(await aFile(ada)).id}`)).json()
    const call = () => ada.post('/files', { title: 'Held Lamps', sculptor: { name: 'Heron Bench' } })
    const renamed: Statement = [
      `with held as (select pg_advisory_xact_lock(hashtext('sculptor'), hashtext(plain($2))))
        update sculptor set name = $2 from held where id = $1`,
      sculptor.id,
      'Heron Bench',
    ]
    const made = await held(renamed, call)
    expect([made.statusCode, made.json().sculptor.id]).toEqual([201, sculptor.id])
  })

  test('label of a revision, and kind of its supports', async () => {
    const file = await aFile(ada)
    const { id } = await aRevision(ada, file.id)
    const again = () => ada.post(`/files/${file.id}/revisions`, { label: 'mended' })
    const relabelled: Statement = [
      `with held as (select id from file where id = $3 for no key update)
        update revision set label = $2 from held where revision.id = $1`,
      id,
      'mended',
      file.id,
    ]
    expect((await held(relabelled, again)).statusCode).toBe(409)
    const supports = await aSupportSet(ada, id)
    const own = () => ada.post(`/revisions/${id}/support-sets`, { kind: 'own supports' })
    expect((await held(named('support_set', 'kind', supports.id, 'own supports'), own)).statusCode).toBe(409)
  })

  test('name of a printer', async () => {
    const printer = (await ada.get(`/printers/${(await aPrinter(ada)).id}`)).json()
    const { plateMm, buildHeightMm, layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS } = printer
    const times = { exposureS, bottomLayers, bottomExposureS, cycleOverheadS }
    const call = () => ada.post('/printers', { name: 'Held box', plateMm, buildHeightMm, layerUm, ...times })
    expect((await held(named('printer', 'name', printer.id, 'Held box'), call)).statusCode).toBe(409)
  })

  test('place of a file among the answers to a request', async () => {
    const requestId = (await aRequest(ada)).id
    const [{ id }, file] = [await aProposal(ada, requestId), await aFile(ada)]
    const call = () => ada.post(`/requests/${requestId}/proposals`, { fileId: file.id })
    expect((await held(named('proposal', 'file_id', id, file.id), call)).statusCode).toBe(409)
  })

  test('vote of a member: the last one counts', async () => {
    const { id } = await aProposal(ada, (await aRequest(ada)).id)
    const done: Statement = ['insert into vote (proposal_id, member_id, would_field) values ($1, $2, true)', id, ada.id]
    const answer = await held(done, () => ada.put(`/proposals/${id}/vote`, { wouldField: false }))
    expect([answer.statusCode, (await ada.get(`/proposals/${id}`)).json().votes]).toMatchObject([
      200,
      { yes: 0, no: 1 },
    ])
  })

  test('address of a member', async () => {
    const { url } = (await group.odile.post('/invitations', {})).json()
    const who = { name: 'Nell', email: 'held@group.example', password }
    const call = () => outsider(group.app).post(`${new URL(url).pathname}/accept`, who)
    const answer = await held(named('member', 'email', (await member(group.odile, 'Mia')).id, who.email), call)
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([422, '/email'])
    // The invitation was not used up by it.
    expect(
      (await outsider(group.app).post(`${new URL(url).pathname}/accept`, { ...who, email: 'nell@group.example' }))
        .statusCode,
    ).toBe(201)
  })

  test('the installation itself', async () => {
    const empty = await startApp()
    const columns = 'name, currency, looks_worth_minor, resin_price_per_kg_minor, clean_up_minor'
    const plates = 'per_plate_minor, clean_up_per_plate_minor'
    const done: Statement = [
      `insert into group_settings (${columns}, ${plates}) values ('Theirs', 'EUR', 100, 3500, 50, 100, 100)`,
    ]
    const owner = { name: 'Odile', email: 'odile@group.example', password }
    const call = () => outsider(empty.app).post('/setup', { groupName: 'Ours', currency: 'EUR', owner })
    expect((await whileHeld(empty.place, done, call)).statusCode).toBe(409)
    expect(await empty.db.selectFrom('member').select('id').execute()).toEqual([])
    await empty.close()
  })

  test('the last try at an account from one place', async () => {
    const guess = () => outsider(group.app).post('/sessions', { email: 'ada@group.example', password: 'a wrong guess' })
    await guess()
    const done: Statement = ["update attempt set tries = 10 where key like 'sign-in as %' || ' from %'"]
    expect((await held(done, guess)).statusCode).toBe(429)
  })

  test('an Idempotency-Key: it gets the answer of the one that was first', async () => {
    const first = await ada.post(
      '/units',
      { name: 'Held Rooks', scaleMm: 28 },
      { headers: { 'idempotency-key': 'first' } },
    )
    // As if it had come with the other key, and were about to be committed.
    const done: Statement = [
      `insert into answered_post (member_id, key, route, body_hash, status, headers, body)
        select member_id, 'held', route, body_hash, status, headers, body from answered_post where key = 'first'`,
    ]
    const again = { headers: { 'idempotency-key': 'held' } }
    const answer = await held(done, () => ada.post('/units', { name: 'Held Rooks', scaleMm: 28 }, again))
    expect([answer.statusCode, answer.body]).toEqual([201, first.body])
  })

  test('the plan of a roster, while one is being solved', async () => {
    const { roster } = await twoUnits(ada)
    await planned(ada, roster.id)
    const done: Statement = [
      "update roster_plan set state = 'running', heartbeat_at = now(), ended_at = null where roster_id = $1",
      roster.id,
    ]
    const answer = await held(done, () => ada.post(`/rosters/${roster.id}/plan`, {}))
    expect([answer.statusCode, answer.json().detail]).toEqual([409, expect.stringContaining('being planned just now')])
  })
})
