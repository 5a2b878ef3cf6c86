import type { LightMyRequestResponse } from 'fastify'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { outsider, type Person, password, startApp } from '../support/app.ts'
import { aFile, anOffer, aRevision, aSnag, aSupportSet } from '../support/catalogue.ts'
import { aPrintable, aPrinter, aReport, plateBody, reportBody } from '../support/printing.ts'
import { aProposal, aRequest } from '../support/requests.ts'
import { type Cast, castOf } from './cast.ts'

let cast: Cast
let close: () => Promise<void>
let author: Person
let other: Person
let owner: Person
beforeAll(async () => {
  const started = await startApp()
  close = started.close
  cast = await castOf(started.app)
  ;({ author, other, owner } = cast)
})
afterAll(() => close())

/*
 * What comes out where many do the same at once, on both databases. That they wait for each other, and do not only happen
 * to come one after the other, is in held-rows.test.ts and held-names.test.ts, for PostgreSQL; on the embedded database
 * each transaction has the one connection to itself.
 */
const twenty = 20

/** Makes the call so many times at the same moment. @returns how many times each status came back */
async function atOnce(call: (index: number) => Promise<LightMyRequestResponse>, times = twenty) {
  const answers = await Promise.all(Array.from({ length: times }, (_, index) => call(index)))
  const statuses: Record<number, number> = {}
  for (const { statusCode } of answers) statuses[statusCode] = (statuses[statusCode] ?? 0) + 1
  return { answers, statuses }
}

const euros = (amount: string) => ({ amount, currency: 'EUR' })

describe('twenty at once make one', () => {
  test('unit', async () => {
    const { statuses } = await atOnce(() => author.post('/units', { name: 'Moss Lynxes', scaleMm: 28 }))
    expect(statuses).toEqual({ 201: 1, 409: 19 })
  })

  test('file, with its sculptor', async () => {
    const file = { title: 'Lynx Masks', sculptor: { name: 'Fallow Bench' } }
    const { statuses } = await atOnce(() => author.post('/files', file))
    expect(statuses).toEqual({ 201: 1, 409: 19 })
  })

  test('sculptor of twenty files', async () => {
    const file = (index: number) => ({ title: `Lynx ${index}`, sculptor: { name: 'Thistle Bench' } })
    const { statuses } = await atOnce((index) => author.post('/files', file(index)))
    expect(statuses).toEqual({ 201: 20 })
    const [first, next] = (await author.get('/sculptors?q=thistle%20bench')).json().items
    expect(first).toMatchObject({ name: 'Thistle Bench', files: 20 })
    expect(next?.name).not.toBe('Thistle Bench')
  })

  test('revision, support set and printer', async () => {
    const { id } = await aFile(author)
    const revisions = await atOnce(() => author.post(`/files/${id}/revisions`, { label: 'mended' }))
    expect(revisions.statuses).toEqual({ 201: 1, 409: 19 })
    const revisionId = (await author.get(`/files/${id}`)).json().revisions[0].id
    const sets = await atOnce(() => author.post(`/revisions/${revisionId}/support-sets`, { kind: 'as supplied' }))
    expect(sets.statuses).toEqual({ 201: 1, 409: 19 })
    const { id: _, ...printer } = await aPrinter(author).then((made) => author.get(`/printers/${made.id}`).then(bodyOf))
    const printers = await atOnce(() => author.post('/printers', { ...printer, name: 'The one' }))
    expect(printers.statuses).toEqual({ 201: 1, 409: 19 })
  })

  function bodyOf(answer: LightMyRequestResponse) {
    const { plateMm, buildHeightMm, layerUm, exposureS, bottomLayers, bottomExposureS, cycleOverheadS } = answer.json()
    const seconds = { exposureS, bottomExposureS, cycleOverheadS }
    return { id: '', plateMm, buildHeightMm, layerUm, bottomLayers, ...seconds }
  }

  test('proposal, of a known file and of a new one', async () => {
    const known = (await aRequest(author)).id
    const fileId = (await aFile(author)).id
    const first = await atOnce(() => other.post(`/requests/${known}/proposals`, { fileId }))
    expect(first.statuses).toEqual({ 201: 1, 409: 19 })
    const request = (await aRequest(author)).id
    const file = { title: 'Lynx Banners', sculptor: { name: 'Fallow Bench' } }
    const second = await atOnce(() => other.post(`/requests/${request}/proposals`, { file }))
    expect(second.statuses).toEqual({ 201: 1, 409: 19 })
    expect((await other.get(`/requests/${request}/proposals`)).json().items).toHaveLength(1)
  })

  test('vote of each member', async () => {
    const { id } = await aProposal(author, (await aRequest(author)).id)
    const people = [author, other, cast.steward, owner]
    const { statuses } = await atOnce((index) =>
      (people[index % 4] as Person).put(`/proposals/${id}/vote`, { wouldField: index < 16 ? index % 3 === 0 : true }),
    )
    expect(statuses).toEqual({ 200: 20 })
    const { yes, no } = (await author.get(`/proposals/${id}`)).json().votes
    expect(yes + no).toBe(4)
  })

  test('place in the archive, and one membership that runs', async () => {
    const fileId = (await aFile(author)).id
    expect((await atOnce(() => other.put(`/archive/${fileId}`))).statuses).toEqual({ 204: 20 })
    const month = { kind: 'membership', minMonths: 1, price: euros('10.00') }
    const offerId = (await anOffer(author, fileId, month)).id
    expect((await atOnce(() => other.put(`/memberships/${offerId}`))).statuses).toEqual({ 204: 20 })
    const listed = async (path: string) => (await other.get(path)).json().items.length
    expect([await listed('/archive'), await listed('/memberships')]).toEqual([1, 1])
    expect((await atOnce(() => other.delete(`/archive/${fileId}`))).statuses).toEqual({ 204: 20 })
    expect(await listed('/archive')).toBe(0)
  })

  test('group', async () => {
    const empty = await startApp()
    const owners = (index: number) => ({ name: `Ona${index}`, email: `ona${index}@group.example`, password })
    const { statuses } = await atOnce(
      (index) =>
        outsider(empty.app).post('/setup', { groupName: `Table ${index}`, currency: 'EUR', owner: owners(index) }),
      8,
    )
    expect(statuses).toEqual({ 201: 1, 409: 7 })
    await empty.close()
  })
})

describe('of twenty at once', () => {
  const ifMatch = (etag: unknown) => ({ headers: { 'if-match': String(etag) } })

  test('who change the same state of an offer, one does, and its price is remembered once', async () => {
    const { id } = await anOffer(author, (await aFile(author)).id)
    const { etag } = (await author.get(`/offers/${id}`)).headers
    const { statuses, answers } = await atOnce((index) =>
      author.patch(`/offers/${id}`, { price: euros(`${index + 10}.00`) }, ifMatch(etag)),
    )
    expect(statuses).toEqual({ 200: 1, 412: 19 })
    const { price, prices, version } = (await author.get(`/offers/${id}`)).json()
    expect(answers.find(({ statusCode }) => statusCode === 200)?.json().price).toEqual(price)
    expect([prices.length, version]).toEqual([2, 2])
  })

  test.each(['units', 'files', 'requests', 'printers', 'reports', 'snags'] as const)(
    'who change the same state of one of the %s, one does',
    async (kind) => {
      const made = {
        units: async () => [(await author.post('/units', { name: 'Moss Hares', scaleMm: 28 })).json(), {}],
        files: async () => [await aFile(author), { resinMl: 5 }],
        requests: async () => [await aRequest(author), { wanted: 5 }],
        printers: async () => [await aPrinter(author), { exposureS: 5 }],
        reports: async () => [await aReport(author), { crowding: 'packed' }],
        snags: async () => {
          const { fileId, revisionId } = await aPrintable(author)
          return [await aSnag(author, fileId, revisionId), { part: 'left ear' }]
        },
      }
      const [thing, change] = (await made[kind]()) as [{ id: string }, Record<string, unknown>]
      const { etag } = (await author.get(`/${kind}/${thing.id}`)).headers
      const { statuses } = await atOnce(() => author.patch(`/${kind}/${thing.id}`, change, ifMatch(etag)))
      expect(statuses).toEqual({ 200: 1, 412: 19 })
    },
  )

  test('who change the settings, one does', async () => {
    const { etag } = (await owner.get('/settings')).headers
    const { statuses } = await atOnce((index) => owner.patch('/settings', { name: `Table ${index}` }, ifMatch(etag)))
    expect(statuses).toEqual({ 200: 1, 412: 19 })
  })

  test('who settle a request on different files, one does', async () => {
    const { id } = await aRequest(author)
    const proposals = await Promise.all(Array.from({ length: 5 }, () => aProposal(other, id)))
    const { statuses, answers } = await atOnce((index) =>
      author.patch(`/requests/${id}`, { state: 'settled', fileId: proposals[index % 5]?.file.id }),
    )
    expect(statuses).toEqual({ 200: 1, 409: 19 })
    const settled = answers.find(({ statusCode }) => statusCode === 200)?.json().settledFile
    expect((await author.get(`/requests/${id}`)).json().settledFile).toEqual(settled)
  })

  test('who mark a snag as mended, each finds it mended, and its reports are weighed once', async () => {
    const { fileId, revisionId, supportSetId } = await aPrintable(author)
    await aReport(author, { supportSetId, tried: 6, failures: [{ seen: 'supports snapped', copies: 2 }] })
    const snag = await aSnag(author, fileId, revisionId, { kind: 'too light supports' })
    const later = await aRevision(author, fileId)
    await aSupportSet(author, later.id)
    const mended = { state: 'mended', mendedInRevisionId: later.id }
    const { statuses } = await atOnce(() => author.patch(`/snags/${snag.id}`, mended))
    expect(statuses).toEqual({ 200: 20 })
    expect((await author.get(`/snags/${snag.id}`)).json()).toMatchObject({ ...mended, version: 21 })
  })

  test('who come by an invitation for three, three join', async () => {
    const { url } = (await owner.post('/invitations', { uses: 3 })).json()
    const code = new URL(url).pathname.split('/').at(-1)
    const names = 'abcdefghijknopqrstuvwx'
    const join = (index: number) => ({ name: `Wanda ${names[index]}`, email: `wanda${index}@group.example`, password })
    const { statuses } = await atOnce((index) => outsider(cast.app).post(`/invitations/${code}/accept`, join(index)))
    expect(statuses).toEqual({ 201: 3, 404: 17 })
    const everybody = (await owner.get('/members?limit=100')).json().items
    expect(everybody.filter(({ name }: { name: string }) => name.startsWith('Wanda '))).toHaveLength(3)
  })

  test('who take a proposal back while others vote for it, none fails', async () => {
    for (let round = 0; round < 4; round++) {
      const { id } = await aProposal(author, (await aRequest(author)).id)
      const people = [other, cast.steward, owner]
      const { statuses } = await atOnce((index) =>
        index % 5 === 4
          ? author.delete(`/proposals/${id}`)
          : (people[index % 3] as Person).put(`/proposals/${id}/vote`, { wouldField: true }),
      )
      const { 200: voted = 0, 204: taken = 0, 404: late = 0, ...rest } = statuses
      expect([voted + taken + late, rest]).toEqual([20, {}])
      expect(taken).toBeGreaterThan(0)
      expect((await author.get(`/proposals/${id}`)).statusCode).toBe(404)
    }
  })
})

describe('the same Idempotency-Key twenty times at once', () => {
  const with_ = (key: string) => ({ headers: { 'idempotency-key': key } })

  test('is done once, and everybody gets its answer', async () => {
    const { supportSetId } = await aPrintable(author)
    const printerId = (await aPrinter(author)).id
    const body = reportBody({ supportSetId, printerId, failures: [{ seen: 'soft detail', copies: 1 }] })
    const { statuses, answers } = await atOnce(() => author.post('/reports', body, with_('evening')))
    expect(statuses).toEqual({ 201: 20 })
    const [first] = answers
    for (const { headers, body: text } of answers)
      expect([headers.location, headers.etag, text]).toEqual([
        first?.headers.location,
        first?.headers.etag,
        first?.body,
      ])
    expect((await author.get(`/reports?printerId=${printerId}`)).json().items).toHaveLength(1)
  })

  test('with other bodies is done once, and the others are told', async () => {
    const bodies = [{ name: 'Moss Owls' }, { name: 'Moss Crows' }, { name: 'Moss Rooks' }]
    const { answers } = await atOnce((index) =>
      author.post('/units', { ...bodies[index % 3], scaleMm: 28 }, with_('moss')),
    )
    const done = answers.filter(({ statusCode }) => statusCode === 201)
    expect(new Set(done.map((answer) => answer.json().id)).size).toBe(1)
    const name = done[0]?.json().name
    answers.forEach(({ statusCode }, index) => {
      expect(statusCode).toBe(bodies[index % 3]?.name === name ? 201 : 422)
    })
    const found = (await author.get('/units?q=moss')).json().items.map((unit: { name: string }) => unit.name)
    expect(bodies.filter((body) => found.includes(body.name))).toEqual([{ name }])
  })

  test('of a call that is refused is refused each time, and free for another', async () => {
    const refused = { name: 'Moss Lynxes', scaleMm: 28 }
    const { statuses } = await atOnce(() => author.post('/units', refused, with_('lynx')))
    expect(statuses).toEqual({ 409: 20 })
    const mended = await author.post('/units', { ...refused, scaleMm: 32 }, with_('lynx'))
    expect(mended.statusCode).toBe(201)
  })

  test('in a form leads everybody to the same page', async () => {
    const typed = { name: 'Moss Voles', scaleMm: '28', modelsPerUnit: '1', once: 'pressed-twenty-times' }
    const { statuses, answers } = await atOnce(() => author.submit('/units/new', typed))
    expect(statuses).toEqual({ 303: 20 })
    expect(new Set(answers.map(({ headers }) => headers.location)).size).toBe(1)
  })
})

test('a busy evening: everybody does everything to the same few things, and nobody waits in turn for ever', async () => {
  const files = await Promise.all([1, 2, 3].map(() => aPrintable(author)))
  const printers = [await aPrinter(author), await aPrinter(other)]
  const request = await aRequest(author)
  const proposal = await aProposal(author, request.id)
  const reports = [
    await aReport(author, { supportSetId: files[0]?.supportSetId ?? '', printerId: printers[0]?.id ?? '' }),
  ]
  const pick = <One>(all: One[], index: number) => all[index % all.length] as One
  const report = (index: number) => {
    const { supportSetId } = pick(files, index)
    const failures = index % 2 ? [{ seen: 'stuck to the film', copies: 2 }] : []
    return reportBody({ supportSetId, printerId: pick(printers, index).id, failures })
  }
  const plate = (index: number) =>
    plateBody(
      files.map(({ supportSetId }) => ({ supportSetId })),
      { printerId: pick(printers, index).id },
    )
  const who = (index: number) => pick([author, other], index)
  const acts: ((index: number) => Promise<LightMyRequestResponse>)[] = [
    (index) => who(index).post('/reports', report(index)),
    (index) => author.patch(`/reports/${reports[0]?.id}`, { crowding: index % 2 ? 'packed' : 'half empty' }),
    (index) => author.patch(`/reports/${reports[0]?.id}`, { supportSetId: pick(files, index).supportSetId }),
    (index) => who(index).post('/plates', plate(index)),
    (index) => author.patch(`/reports/${reports[0]?.id}`, { printedOn: day(index), printerId: printers[0]?.id }),
    (index) => author.post(`/files/${pick(files, index).fileId}/revisions`, revision(index)),
    (index) => author.post(`/printers/${printers[0]?.id}/upkeep`, { kind: 'film changed', on: day(index) }),
    (index) => author.post(`/files/${pick(files, index).fileId}/snags`, blocking(pick(files, index).revisionId)),
    () => owner.post('/scoring/fit'),
    (index) => who(index).put(`/proposals/${proposal.id}/vote`, { wouldField: index % 2 === 0 }),
    (index) => who(index).post(`/requests/${request.id}/proposals`, { fileId: pick(files, index).fileId }),
    (index) => author.patch(`/requests/${request.id}`, { wanted: index + 1 }),
    (index) => who(index).get(`/requests/${request.id}/answers?own=true`),
    (index) => who(index).page(`/files/${pick(files, index).fileId}`),
  ]
  const revision = (index: number) => ({ label: `evening ${index}`, supportKinds: ['as supplied'] })
  const day = (index: number) => `2025-05-${String((index % 27) + 1).padStart(2, '0')}`
  const blocking = (revisionId: string) => ({ revisionId, kind: 'broken mesh', severity: 'stops the print' })
  for (let round = 0; round < 4; round++) {
    const { statuses } = await atOnce((index) => pick(acts, index * 5 + round)(index + round * 24), 24)
    const failed = Object.keys(statuses).filter((status) => Number(status) >= 500)
    expect(failed).toEqual([])
  }
})
