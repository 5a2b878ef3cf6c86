import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { member, owner, type Person, startApp } from '../../support/app.ts'
import { aFile, anOffer, aRevision, aSnag, aSupportSet } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'

/** Letters in common are what matters: case, accents and what stands between the words are no disguise. */
const named = /wilma[^\p{L}]*gr[oö][sß]?s?he?im|wilma-figures/iu
const name = 'Wilma Grösheim'
const site = 'https://wilma-figures.example/set'

/**
 * A sculptor asked not to be named; before that, members wrote the name and links wherever a text can stand.
 */
describe('a sculptor who asked not to be named', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  let fileId: string
  let otherId: string
  let revisionId: string
  let offerId: string
  let membershipId: string
  let snagId: string
  let sculptorId: string
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
    const sculptor = { name }
    const words = `By WILMA GROSHEIM, see ${site} or www.wilma-figures.example.`
    fileId = (
      await aFile(ada, {
        title: 'Wilma - Grosheim: Mud Heralds',
        sculptor,
        licence: 'as wilma grösheim says',
        remark: words,
        options: ['Wilma-Grösheim banner'],
        styleTags: ['wilma grosheim'],
      })
    ).id
    otherId = (await aFile(ada, { title: 'Mud Pikes', sculptor })).id
    revisionId = (await aRevision(ada, fileId, { label: 'Wilma  Grösheim 2' })).id
    await aSupportSet(ada, revisionId, { claim: words.slice(0, 200) })
    const title = 'The guild of Wilma Grösheim'
    offerId = (await anOffer(ada, fileId, { title, url: site })).id
    membershipId = (
      await anOffer(ada, fileId, {
        kind: 'membership',
        price: { amount: '10.00', currency: 'EUR' },
        minMonths: 1,
        title,
        url: site,
        fileIds: [otherId],
      })
    ).id
    snagId = (await aSnag(ada, fileId, revisionId, { part: "Wilma Grösheim's arm", detail: words })).id
    await ben.put(`/archive/${fileId}`)
    await ben.put(`/memberships/${membershipId}`)
    sculptorId = (await ben.get('/sculptors?q=wilma')).json().items[0].id
  })
  afterAll(() => close())

  const answers = () => [
    '/files?limit=100',
    '/files?q=mud',
    `/files?sculptorId=${sculptorId}`,
    `/files/${fileId}`,
    `/files/${otherId}`,
    `/revisions/${revisionId}`,
    `/offers/${offerId}`,
    `/offers/${membershipId}`,
    `/snags/${snagId}`,
    '/archive',
    '/memberships',
    '/sculptors',
    `/sculptors/${sculptorId}`,
    `/sculptors?q=${encodeURIComponent(name)}`,
  ]

  /** What lists the caller's own things alone. */
  const own = new Set(['/archive', '/memberships'])

  const pages = () => [
    '/files',
    '/files?q=mud',
    `/files/${fileId}`,
    `/files/${otherId}`,
    `/files/${fileId}/revisions/new`,
    `/files/${fileId}/snags/new`,
    `/files/${fileId}/offers/new`,
    `/revisions/${revisionId}/support-sets/new`,
    `/offers/${offerId}`,
    `/offers/${membershipId}`,
    '/archive?q=mud',
    '/sculptors',
    '/files/suggest?q=mud',
    '/sculptors/suggest?q=wilma',
  ]

  test('was named and linked before, in every one of these answers', async () => {
    for (const path of answers()) expect((await ben.get(path)).body, path).toMatch(named)
    for (const path of pages()) expect((await ben.page(path)).body, path).toMatch(named)
  })

  test('is in no answer to another member afterwards; stewards see everything', async () => {
    await ada.post('/files', { title: 'Mud Drummers', sculptor: { name: 'wilma grosheim', credit: 'unnamed' } })
    for (const path of answers()) {
      const answer = await ben.get(path)
      expect(answer.body, path).not.toMatch(named)
      expect(answer.body, path).not.toContain(sculptorId)
      if (!own.has(path)) expect((await odile.get(path)).body, path).toMatch(named)
    }
    for (const path of pages()) {
      const answer = await ben.page(path)
      expect(answer.statusCode, path).toBe(200)
      expect(answer.body, path).not.toMatch(named)
      expect(answer.body, path).not.toContain(sculptorId)
    }
    const file = (await ben.get(`/files/${fileId}`)).json()
    expect(file).toMatchObject({
      title: 'the sculptor: Mud Heralds',
      sculptor: { id: null, name: null, credit: 'unnamed' },
      remark: 'By the sculptor, see (link left out) or (link left out)',
      offers: [{ url: null }, { url: null }],
    })
  })

  test('is for whoever wrote of them in their own words, and in nothing else', async () => {
    const mine = (await ada.get(`/files/${fileId}`)).json()
    expect(mine).toMatchObject({
      title: 'Wilma - Grosheim: Mud Heralds',
      sculptor: { id: null, name: null, credit: 'unnamed' },
      licence: 'as wilma grösheim says',
      options: ['Wilma-Grösheim banner'],
      revisions: [{ label: 'Wilma  Grösheim 2' }],
      offers: [{ url: site }, { url: site }],
      snags: [{ part: "Wilma Grösheim's arm" }],
    })
    for (const form of [`/files/${fileId}/edit`, `/offers/${offerId}/edit`, `/snags/${snagId}/edit`])
      expect((await ada.page(form)).body, form).toMatch(named)
    const { id } = await aSnag(ben, fileId, revisionId, { detail: `Ask ${name}, or see ${site}` })
    expect((await ada.get(`/snags/${id}`)).json().detail).toBe('Ask the sculptor, or see (link left out)')
    const any = { headers: { 'if-match': '*' } }
    await odile.patch(`/snags/${snagId}`, { part: 'the arm that Wilma Grösheim split' }, any)
    expect((await ada.get(`/snags/${snagId}`)).json().part).toBe('the arm that the sculptor split')
    await ada.patch(`/snags/${snagId}`, { part: "Wilma Grösheim's arm" })
    expect((await ada.get(`/snags/${snagId}`)).json().part).toBe("Wilma Grösheim's arm")
  })

  test('is found by nobody but stewards', async () => {
    for (const q of [name, 'grosheim', 'wilma', 'Wilma - Grosheim']) {
      const query = `/files?q=${encodeURIComponent(q)}`
      expect((await ben.get(query)).json().items, q).toEqual([])
      expect((await odile.get(query)).json().items.length, q).toBe(3)
    }
    expect((await ben.get(`/files?sculptorId=${sculptorId}`)).json().items).toEqual([])
    expect((await ben.get(`/sculptors/${sculptorId}`)).statusCode).toBe(404)
  })

  test('what a member adds for them answers with what was typed, to others without the name', async () => {
    const made = await ben.post('/files', {
      title: `Mud Queen by ${name}`,
      sculptor: { name: 'WILMA grösheim' },
      offer: { kind: 'purchase', price: { amount: '5.00', currency: 'EUR' }, url: site, title: name },
    })
    expect(made.statusCode).toBe(201)
    expect(made.json()).toMatchObject({
      title: `Mud Queen by ${name}`,
      sculptor: { name: 'WILMA grösheim', credit: 'named' },
      offers: [{ url: site, title: name }],
    })
    expect(made.json().sculptor.id).not.toBe(sculptorId)
    for (const path of ['/files?limit=100', `/files/${made.json().id}`, `/offers/${made.json().offers[0].id}`])
      expect((await ada.get(path)).body, path).not.toContain('WILMA grösheim')
    expect((await ada.get(`/files/${made.json().id}`)).json()).toMatchObject({
      title: 'Mud Queen by the sculptor',
      sculptor: { id: null, name: null, credit: 'unnamed' },
      offers: [{ url: null, title: 'the sculptor' }],
    })
    const typed = (await odile.get('/sculptors?q=wilma%20grosheim')).json().items
    expect(
      new Map(typed.map((one: { name: string; typedBy: { name: string } }) => [one.typedBy.name, one.name])),
    ).toEqual(
      new Map([
        ['Ada', name],
        ['Ben', 'WILMA grösheim'],
      ]),
    )
    expect((await odile.page('/sculptors?q=wilma%20grosheim')).body).toContain('as Ben typed it')
  })

  test('is not told to whoever typed the name by a steward who saves the form of their file', async () => {
    const sculptor = { name: 'wilma Grosheim' }
    const { id } = await aFile(ben, {
      title: 'Mud Cooks',
      sculptor,
      revision: { label: '1', supportKinds: ['as supplied'] },
    })
    const before = (await ben.get(`/files/${id}`)).json()
    const form = fieldsOf((await odile.page(`/files/${id}/edit`)).body, `/files/${id}/edit`)
    expect((await odile.submit(`/files/${id}/edit`, { ...form, heightMm: '41' })).statusCode).toBe(303)
    const after = (await ben.get(`/files/${id}`)).json()
    expect(after).toEqual({ ...before, heightMm: 41, version: 2 })
    expect(after.sculptor.name).toBe('WILMA grösheim')
  })

  test('is not told by a part of the name or the bare host of a link either', async () => {
    const words = 'Ask Wilma, or Grösheim’s helpers at wilma-figures.example/club.'
    const left = 'Ask the sculptor, or the sculptor’s helpers at (link left out)'
    await ada.patch(`/files/${otherId}`, { remark: words })
    const { id: unitId } = (await ada.post('/units', { name: 'Mud Lancers', scaleMm: 28 })).json()
    const request = (await ada.post('/requests', { unitId, wanted: 3 })).json()
    await ada.post(`/requests/${request.id}/proposals`, { fileId: otherId, remark: words })
    await ada.post(`/files/${otherId}/revisions`, { label: 'by Wilma' })
    const [mine, theirs] = [await ben.get(`/files/${otherId}`), await odile.get(`/files/${otherId}`)]
    expect([mine.json().remark, theirs.json().remark]).toEqual([left, words])
    const proposals = `/requests/${request.id}/proposals`
    expect((await ben.get(proposals)).json().items[0].remark).toBe(left)
    for (const path of [`/files/${otherId}`, proposals, `/requests/${request.id}/answers`])
      expect((await ben.get(path)).body, path).not.toMatch(/wilma|gr[oö]sheim|sculptorHosts/iu)
    for (const path of [`/files/${otherId}`, `/requests/${request.id}`])
      expect((await ben.page(path)).body, path).not.toMatch(/wilma|gr[oö]sheim/iu)
    await ada.patch(`/files/${otherId}`, { remark: '' })
  })

  test('can’t be guessed from the conflict of two titles: it is the same for every name', async () => {
    const guesses = await Promise.all(
      [name, 'Somebody Else'].map((guess) => ada.post('/files', { title: 'Mud Pikes', sculptor: { name: guess } })),
    )
    const [right, wrong] = guesses.map((answer) => ({ status: answer.statusCode, body: answer.json() }))
    expect(right).toEqual(wrong)
    expect(right?.status).toBe(409)
    const mine = await aFile(ada, { title: 'Mine Alone' })
    for (const guess of [name, 'Somebody Else']) {
      const change = { title: 'Mud Pikes', sculptor: { name: guess } }
      expect((await ada.patch(`/files/${mine.id}`, change)).statusCode).toBe(409)
    }
    expect((await ada.get('/files?q=somebody%20else')).json().items).toEqual([])
  })

  test('a bundle with one of their files is not linked either', async () => {
    const { id: free } = await aFile(ada)
    const offer = await anOffer(ada, free, {
      kind: 'bundle',
      price: { amount: '5.00', currency: 'EUR' },
      url: site,
      fileIds: [otherId],
    })
    expect((await ben.get(`/offers/${offer.id}`)).json().url).toBeNull()
    expect((await ben.get(`/files/${free}`)).body).not.toMatch(named)
    await ada.patch(`/offers/${offer.id}`, { fileIds: [free], url: 'https://other.example/' })
    expect((await ben.get(`/offers/${offer.id}`)).json().url).toBe('https://other.example/')
  })

  test('a form saved as it was shown changes nothing that is not shown', async () => {
    const words = { title: `Mud Kings of ${name}`, licence: `as ${name} says`, remark: `By ${name}, ${site}` }
    const own = await aFile(ada, { title: 'Mud Kings', sculptor: { name: 'WILMA Grosheim', credit: 'unnamed' } })
    const any = { headers: { 'if-match': '*' } }
    await odile.patch(`/files/${own.id}`, words, any)
    const typed = {
      title: 'Mud Kings of the sculptor',
      licence: 'as the sculptor says',
      remark: 'By the sculptor, (link left out)',
      heightMm: '44',
    }
    expect((await ada.get(`/files/${own.id}`)).json()).toMatchObject({ title: typed.title, remark: typed.remark })
    expect((await ada.submit(`/files/${own.id}/edit`, typed)).statusCode).toBe(303)
    expect((await odile.get(`/files/${own.id}`)).json()).toMatchObject({ ...words, heightMm: 44 })
    const offer = await anOffer(ada, own.id, { title: 'Alone', url: 'https://one.example/' })
    await odile.patch(`/offers/${offer.id}`, { title: `At ${name}’s`, url: site }, any)
    const terms = { title: 'At the sculptor’s', 'price.amount': '7', 'price.currency': 'EUR', url: '' }
    expect((await ada.submit(`/offers/${offer.id}/edit`, terms)).statusCode).toBe(303)
    expect((await odile.get(`/offers/${offer.id}`)).json()).toMatchObject({
      title: `At ${name}’s`,
      url: site,
      price: { amount: '7.00' },
    })
  })
})
