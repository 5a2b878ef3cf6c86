import type { LightMyRequestResponse } from 'fastify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { outsider, type Person, password, startApp } from '../support/app.ts'
import { aFile } from '../support/catalogue.ts'
import { hasConnections, type Statement, whileHeld } from '../support/held.ts'
import { aProposal, aRequest } from '../support/requests.ts'
import { type Cast, castOf } from './cast.ts'
import { anInvitation, sculptorOf, things } from './things.ts'

/*
 * What is decided by what a row says waits for whoever is changing it, and then goes by what they made of it. Without the
 * lock, or the version in the update, a call here would go by what it read before. On the embedded database nothing can
 * be held (support/held.ts): what comes out there of many calls at the same moment is in at-once.test.ts.
 */

let cast: Cast
let started: Awaited<ReturnType<typeof startApp>>
let author: Person
let owner: Person
beforeAll(async () => {
  started = await startApp()
  cast = await castOf(started.app)
  ;({ author, owner } = cast)
})
afterAll(() => started.close())

type Call = () => Promise<LightMyRequestResponse>
interface Waiting {
  done: Statement
  call: Call
  status: number
}

const euros = (amount: string) => ({ amount, currency: 'EUR' })
const oneLater = (table: string, id: string): Statement => [
  `update ${table} set version = version + 1 where id = $1`,
  id,
]
const ofFirst = { headers: { 'if-match': '"1"' } }

/** A change of the state that somebody else is changing. */
const stale =
  (table: string, path: string, thing: () => Promise<string>, change: Record<string, unknown>) =>
  async (): Promise<Waiting> => {
    const id = await thing()
    return { done: oneLater(table, id), call: () => author.patch(`${path}/${id}`, change, ofFirst), status: 412 }
  }

const changes: Record<string, () => Promise<Waiting>> = {
  unit: stale('unit', '/units', async () => (await things.unit(author)).id, { scaleMm: 32 }),
  file: stale('file', '/files', async () => (await things.file(author)).id, { resinMl: 5 }),
  offer: stale('offer', '/offers', async () => (await things.offer(author)).id, { price: euros('12.00') }),
  snag: stale('snag', '/snags', async () => (await things.snag(author)).id, { part: 'left ear' }),
  request: stale('request', '/requests', async () => (await things.request(author)).id, { wanted: 5 }),
  printer: stale('printer', '/printers', async () => (await things.printer(author)).id, { exposureS: 5 }),
  roster: stale('roster', '/rosters', async () => (await things.roster(author)).id, { name: 'Winter muster' }),
  async sculptor() {
    const id = await sculptorOf(author, (await aFile(author)).id)
    const call = () => cast.steward.patch(`/sculptors/${id}`, { name: 'Held Bench' }, ofFirst)
    return { done: oneLater('sculptor', id), call, status: 412 }
  },
  async settings() {
    const { etag } = (await owner.get('/settings')).headers
    const call = () => owner.patch('/settings', { name: 'Another table' }, { headers: { 'if-match': String(etag) } })
    return { done: ['update group_settings set version = version + 1'], call, status: 412 }
  },
  async 'one’s own things'() {
    const { version } = (await author.get('/me')).json()
    const call = () =>
      author.patch('/me', { defaultCrowding: 'half empty' }, { headers: { 'if-match': `"${version}"` } })
    return { done: oneLater('member', author.id), call, status: 412 }
  },
  async 'the entries of a roster'() {
    const { id } = await things.roster(author)
    const call = () => author.post(`/rosters/${id}/entries`, { words: 'Held Owls', models: 3 }, ofFirst)
    return { done: oneLater('roster', id), call, status: 412 }
  },
  async 'the upkeep of a printer'() {
    const { id } = await things.printer(author)
    const call = () => author.post(`/printers/${id}/upkeep`, { kind: 'film changed', on: '2025-05-01' }, ofFirst)
    return { done: oneLater('printer', id), call, status: 412 }
  },
}

const withdrawn = (id: string): Statement => [
  "update request set state = 'withdrawn', closed_at = now() where id = $1",
  id,
]

const closing: Record<string, () => Promise<Waiting>> = {
  async 'a change of the request'() {
    const { id } = await aRequest(author)
    return { done: withdrawn(id), call: () => author.patch(`/requests/${id}`, { wanted: 5 }), status: 409 }
  },
  async 'settling it'() {
    const { id } = await aRequest(author)
    const fileId = (await aProposal(author, id)).file.id
    const call = () => author.patch(`/requests/${id}`, { state: 'settled', fileId })
    return { done: withdrawn(id), call, status: 409 }
  },
  async 'a proposal'() {
    const { id } = await aRequest(author)
    const fileId = (await aFile(author)).id
    return { done: withdrawn(id), call: () => author.post(`/requests/${id}/proposals`, { fileId }), status: 409 }
  },
  async 'taking a proposal back'() {
    const { id, requestId } = await things.proposal(author)
    return { done: withdrawn(requestId), call: () => author.delete(`/proposals/${id}`), status: 409 }
  },
  async 'a vote'() {
    const { id, requestId } = await things.proposal(author)
    const call = () => author.put(`/proposals/${id}/vote`, { wouldField: true })
    return { done: withdrawn(requestId), call, status: 409 }
  },
  async 'taking a vote back'() {
    const { id, requestId } = await things.proposal(author)
    return { done: withdrawn(requestId), call: () => author.delete(`/proposals/${id}/vote`), status: 409 }
  },
}

const taken: Record<string, () => Promise<Waiting>> = {
  async 'a vote for a proposal'() {
    const { id } = await things.proposal(author)
    const call = () => author.put(`/proposals/${id}/vote`, { wouldField: true })
    return { done: ['delete from proposal where id = $1', id], call, status: 404 }
  },
  async 'the last use of an invitation'() {
    const { id, code } = await anInvitation(owner)
    const who = { name: 'Nell', email: 'nell.held@group.example', password }
    const call = () => outsider(cast.app).post(`/invitations/${code}/accept`, who)
    return { done: ['update invitation set uses_left = 0 where id = $1', id], call, status: 404 }
  },
  async 'taking upkeep back'() {
    const { id } = await things.upkeep(author)
    const printer = 'select id from printer where id = (select printer_id from upkeep where id = $1) for update'
    const done: Statement = [
      `with held as (${printer}) delete from upkeep where id = $1 and exists (select from held)`,
      id,
    ]
    return { done, call: () => author.delete(`/upkeep/${id}`), status: 404 }
  },
  async 'the ownership of the group'() {
    const heir = await cast.newcomer()
    // The one who asks is the owner when they come in, and no more when it is their turn. Keep this case the last one.
    const done: Statement = ["update member set role = 'steward' where id = $1", owner.id]
    const headers = { 'if-match': String((await owner.get(`/members/${heir.id}`)).headers.etag) }
    return { done, call: () => owner.patch(`/members/${heir.id}`, { role: 'steward' }, { headers }), status: 403 }
  },
}

describe.runIf(hasConnections).each([
  ['a change waits for whoever changes the same state, and is told so', changes],
  ['what an open request takes waits for whoever withdraws it, and is refused', closing],
  ['what is there no more waits for whoever takes it, and is refused', taken],
])('%s', (_, cases) => {
  test.each(Object.keys(cases))('%s', async (name) => {
    const { done, call, status } = (await cases[name]?.()) ?? expect.fail()
    const answer = await whileHeld(started.place, done, call)
    expect([answer.statusCode, answer.statusCode === status ? '' : answer.body]).toEqual([status, ''])
  })
})
