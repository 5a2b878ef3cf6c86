import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { outsider, owner, type Person, startApp, startGroup } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'
import { aProposal, aRequest } from '../../support/requests.ts'

const { app, odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('requests and proposals', () => {
  test('a request keeps what was asked, for a known unit and for a new one', async () => {
    const unit = await aUnit(ada)
    const asked = {
      wanted: 10,
      mustHaves: ['spears', 'a banner'],
      budget: { amount: '30.00', currency: 'EUR' },
      neededBy: '2027-03-01',
      remark: 'Mud up to the knees.',
    }
    const posted = await ada.post('/requests', { unitId: unit.id, ...asked })
    expect(posted.statusCode).toBe(201)
    expect(posted.json()).toMatchObject({ ...asked, state: 'open', unit: { id: unit.id }, asker: { name: 'Ada' } })
    const described = await ada.post('/requests', { unit: { name: 'Quag Criers', scaleMm: 32 }, wanted: 3 })
    expect(described.json().unit).toMatchObject({ name: 'Quag Criers', scaleMm: 32 })
    const open = (await ben.get('/requests?state=open&limit=100')).json().items
    expect(open.map((one: { id: string }) => one.id)).toEqual(
      expect.arrayContaining([posted.json().id, described.json().id]),
    )
  })

  test('a request names one unit, known or new, that exists', async () => {
    const { id: unitId } = await aUnit(ada)
    const unit = { name: 'Both at once', scaleMm: 28 }
    expect((await ada.post('/requests', { wanted: 1 })).json().errors[0].path).toBe('/unitId')
    expect((await ada.post('/requests', { wanted: 1, unitId, unit })).statusCode).toBe(422)
    const unknown = { wanted: 1, unitId: '01890000-0000-7000-8000-000000000000' }
    expect((await ada.post('/requests', unknown)).json().errors[0].path).toBe('/unitId')
    for (const wanted of [0, -1, 1.5, 1001, '10'])
      expect((await ada.post('/requests', { wanted, unitId })).statusCode).toBe(422)
  })

  test('a refused request leaves no new unit behind', async () => {
    const unit = { name: 'Left Behind', scaleMm: 28 }
    const tooMuch = { amount: '1.234', currency: 'EUR' }
    expect((await ada.post('/requests', { unit, wanted: 1, budget: tooMuch })).statusCode).toBe(422)
    expect((await ada.get('/units?q=left%20behind')).json().items).toEqual([])
  })

  test('a file is proposed once, also at the same moment', async () => {
    const request = await aRequest(ada, { mustHaves: ['spears'] })
    const { id: fileId } = await aFile(ben)
    const answers = await Promise.all(
      Array.from({ length: 5 }, () => ben.post(`/requests/${request.id}/proposals`, { fileId, covers: ['spears'] })),
    )
    expect(answers.map((one) => one.statusCode).sort()).toEqual([201, 409, 409, 409, 409])
    expect((await ada.get(`/requests/${request.id}`)).json().proposals).toBe(1)
    const strange = await ben.post(`/requests/${request.id}/proposals`, {
      fileId: (await aFile(ben)).id,
      covers: ['wings'],
    })
    expect(strange.json().errors[0].path).toBe('/covers')
  })

  test('a proposal may describe a new file along with it', async () => {
    const request = await aRequest(ada)
    const file = { title: 'Mire Pikes', sculptor: { name: 'Hollow Reed' }, resinMl: 8 }
    const made = await ben.post(`/requests/${request.id}/proposals`, { file, remark: 'Looks the part.' })
    expect(made.statusCode).toBe(201)
    expect(made.json()).toMatchObject({ file: { title: 'Mire Pikes' }, remark: 'Looks the part.' })
    expect((await ada.get(`/files/${made.json().file.id}`)).json().standsInFor).toEqual([request.unit.id])
  })

  test('settling: by the asker or a steward, on a proposed file, once', async () => {
    const request = await aRequest(ada)
    const [one, two] = [await aProposal(ben, request.id), await aProposal(ben, request.id)]
    const settle = (fileId: string) => ({ state: 'settled', fileId })
    const anyVersion = { headers: { 'if-match': '*' } }
    expect((await ben.patch(`/requests/${request.id}`, settle(one.file.id), anyVersion)).statusCode).toBe(403)
    expect((await ada.patch(`/requests/${request.id}`, settle((await aFile(ben)).id))).statusCode).toBe(422)
    expect((await ada.patch(`/requests/${request.id}`, { state: 'settled' })).statusCode).toBe(422)
    const answers = await Promise.all([
      ada.patch(`/requests/${request.id}`, settle(one.file.id)),
      odile.patch(`/requests/${request.id}`, settle(two.file.id), anyVersion),
    ])
    expect(answers.map((answer) => answer.statusCode).sort()).toEqual([200, 409])
    const settled = (await ben.get(`/requests/${request.id}`)).json()
    const winner = answers.find((answer) => answer.statusCode === 200)?.json()
    expect(settled).toEqual(winner)
    expect((await ben.post(`/requests/${request.id}/proposals`, { fileId: (await aFile(ben)).id })).statusCode).toBe(
      409,
    )
    expect((await ada.patch(`/requests/${request.id}`, { state: 'withdrawn' })).statusCode).toBe(409)
  })

  test('a closed request is opened again by its asker or a steward, with what was proposed and voted', async () => {
    const request = await aRequest(ada)
    const { id, file } = await aProposal(ben, request.id)
    await ben.put(`/proposals/${id}/vote`, { wouldField: true })
    const anyVersion = { headers: { 'if-match': '*' } }
    const reopen = (by: Person, options = {}) => by.patch(`/requests/${request.id}`, { state: 'open' }, options)
    expect((await reopen(ada)).statusCode).toBe(409)
    const settled = (await ada.patch(`/requests/${request.id}`, { state: 'settled', fileId: file.id })).json()
    expect((await reopen(ben, anyVersion)).statusCode).toBe(403)
    expect((await ada.patch(`/requests/${request.id}`, { wanted: 3 })).statusCode).toBe(409)
    expect((await reopen(ada, { headers: { 'if-match': '"1"' } })).statusCode).toBe(412)
    const withFile = await ada.patch(`/requests/${request.id}`, { state: 'open', fileId: file.id })
    expect(withFile.statusCode).toBe(422)
    const again = await reopen(ada)
    expect(again.json()).toMatchObject({ state: 'open', settledFile: null, closedAt: null, proposals: 1 })
    expect(again.json().version).toBe(settled.version + 1)
    expect((await ben.get(`/proposals/${id}`)).json().votes).toMatchObject({ yes: 1 })
    await ada.patch(`/requests/${request.id}`, { state: 'withdrawn' })
    const answers = await Promise.all([reopen(odile, anyVersion), reopen(odile, anyVersion)])
    expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([200, 409])
  })

  test('an out-of-date form does not overwrite', async () => {
    const request = await aRequest(ada)
    const form = { wanted: '12', mustHaves: '', remark: '', neededBy: '', version: '1' }
    expect((await ada.submit(`/requests/${request.id}/edit`, form)).statusCode).toBe(303)
    const late = await ada.submit(`/requests/${request.id}/edit`, { ...form, wanted: '14' })
    expect(late.statusCode).toBe(422)
    expect(late.body).toContain('Somebody changed this after you opened it')
    expect(late.body).toContain('value="14"')
    expect((await ada.get(`/requests/${request.id}`)).json().wanted).toBe(12)
  })

  test('a proposal is taken back by whoever made it, while the request is open', async () => {
    const request = await aRequest(ada)
    const mine = await aProposal(ben, request.id)
    expect((await ada.delete(`/proposals/${mine.id}`)).statusCode).toBe(403)
    expect((await ben.submit(`/proposals/${mine.id}/take-back`, {})).statusCode).toBe(303)
    expect((await ben.get(`/proposals/${mine.id}`)).statusCode).toBe(404)
  })

  test('is for members', async () => {
    const { id } = await aRequest(ada)
    for (const url of ['/requests', `/requests/${id}`, `/requests/${id}/answers`, `/requests/${id}/proposals`])
      expect((await outsider(app).get(url)).statusCode).toBe(401)
    expect((await outsider(app).post('/requests', {})).statusCode).toBe(401)
    expect((await ada.get('/requests/01890000-0000-7000-8000-000000000000')).statusCode).toBe(404)
  })
})

describe('asking by the page, without script', () => {
  let app: App
  let close: () => Promise<void>
  let ada: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    ada = await owner(app)
  })
  afterAll(() => close())

  const wanted = { wanted: '10', mustHaves: 'spears\nbanner', 'budget.amount': '', 'budget.currency': 'EUR' }

  test('a typing error asks which unit is meant, and keeps what was typed', async () => {
    const unit = await aUnit(ada, { name: 'Lantern Bearers' })
    const asked = await ada.submit('/requests/new', { ...wanted, unitName: 'lantren bearers' })
    expect(asked.statusCode).toBe(422)
    expect(asked.body).toContain('Which of these do you mean?')
    expect(asked.body).toContain(unit.id)
    expect(asked.body).not.toMatch(/name="unitId"[^>]*checked/)
    expect(asked.body).toContain('value="lantren bearers"')
    expect(asked.body).toContain('spears\nbanner')
    // Whoever means none of them is shown where a new one is described.
    expect(asked.body).toMatch(/<details class="disclosure" open>\s*<summary>The unit is new to the group/)
    const posted = await ada.submit('/requests/new', { ...wanted, unitName: 'lantren bearers', unitId: unit.id })
    expect(posted.statusCode).toBe(303)
  })

  test('what a search did not find is asked for without being typed again', async () => {
    const { body } = await ada.page('/search?q=Reed%20%26%20Rush')
    const href = /href="(\/requests\/new\?[^"]+)"/.exec(body)?.[1] ?? ''
    expect((await ada.page(href)).body).toContain('value="Reed &amp; Rush"')
  })

  test('a name that was typed over counts, not the unit that was chosen before', async () => {
    const [first, second] = [await aUnit(ada, { name: 'Otter Scouts' }), await aUnit(ada, { name: 'Kiln Monks' })]
    const typedOver = { ...wanted, unitName: 'Kiln Monks', unitId: first.id, seen: first.id }
    const posted = await ada.submit('/requests/new', typedOver)
    expect((await ada.page(String(posted.headers.location))).body).toContain('10 Kiln Monks')
    expect((await ada.get(`/requests?unitId=${second.id}`)).json().items).toHaveLength(1)
  })

  test('known stand-ins are shown before the request is posted', async () => {
    const unit = await aUnit(ada, { name: 'Sluice Guard' })
    const file = await aFile(ada, { title: 'Lock Keepers', standsInFor: [unit.id] })
    const shown = await ada.submit('/requests/new', { ...wanted, unitName: 'Sluice Guard' })
    expect(shown.statusCode).toBe(422)
    expect(shown.body).toContain('Lock Keepers')
    expect(shown.body).toContain(`/files/${file.id}`)
    expect((await ada.get(`/requests?unitId=${unit.id}`)).json().items).toEqual([])
    const again = { ...wanted, unitName: 'Sluice Guard', unitId: unit.id, seen: unit.id }
    expect((await ada.submit('/requests/new', again)).statusCode).toBe(303)
    expect((await ada.page(`/requests/new?unitId=${unit.id}`)).body).toContain('Lock Keepers')
  })

  test('a unit that nobody knows is described along with the request', async () => {
    const unknown = await ada.submit('/requests/new', { ...wanted, unitName: 'Weir Giants' })
    expect(unknown.body).toContain('does not know this unit yet')
    const described = { 'unit.scaleMm': '32', 'unit.modelsPerUnit': '1', 'unit.base.shape': '', isNew: 'true' }
    const posted = await ada.submit('/requests/new', { ...wanted, unitName: 'Weir Giants', ...described })
    expect(posted.statusCode).toBe(303)
    expect((await ada.page(String(posted.headers.location))).body).toContain('10 Weir Giants')
  })

  test('a title, a link and a price are enough to propose a file that nobody knows', async () => {
    const request = await aRequest(ada)
    const url = `/requests/${request.id}/propose/new`
    const fields = fieldsOf((await ada.page(url)).body, url)
    const typed = { 'file.offer.price.amount': '4', 'file.offer.url': 'https://weir.example/stilts' }
    const sent = await ada.submit(url, { ...fields, ...typed, 'file.title': 'Stilt Walkers' })
    expect(sent.headers.location).toContain('said=proposed')
    const api = await ada.post(`/requests/${request.id}/proposals`, { file: { title: 'Stilt Criers' } })
    expect(api.statusCode).toBe(201)
    expect((await ada.get(`/requests/${request.id}/proposals`)).json().items).toHaveLength(2)
    // Two of whom nothing is known are two: what one's prints tell is not the other's.
    const { items } = (await ada.get('/sculptors?q=the%20sculptor%20of')).json()
    expect(items.map(({ name }: { name: string }) => name).toSorted()).toEqual([
      'the sculptor of “Stilt Criers”',
      'the sculptor of “Stilt Walkers”',
    ])
    // Whose wish not to be named it is has to be known, or it could not be kept.
    const wish = await ada.submit(url, { ...fields, 'file.title': 'Stilt Riders', 'file.sculptor.credit': 'unnamed' })
    expect([wish.statusCode, wish.body.includes('Whose wish is it?')]).toEqual([422, true])
  })

  test('a must-have among the options that were typed for a new file is covered without being ticked', async () => {
    const request = await aRequest(ada, { mustHaves: ['spears', 'a banner', 'cloaks'] })
    const url = `/requests/${request.id}/propose/new`
    const fields = fieldsOf((await ada.page(url)).body, url)
    const typed = {
      ...fields,
      'file.title': 'Dyke Pikes',
      covers: 'cloaks',
      'file.options': 'Spears\r\nbanner\r\nhorn',
    }
    expect((await ada.submit(url, typed)).headers.location).toContain('said=proposed')
    const [proposal] = (await ada.get(`/requests/${request.id}/proposals`)).json().items
    expect(proposal.covers.toSorted()).toEqual(['a banner', 'cloaks', 'spears'])
  })

  test('a file that nobody knows is described and proposed in one form, once', async () => {
    const request = await aRequest(ada, { mustHaves: ['spears', 'banner'] })
    const url = `/requests/${request.id}/propose/new`
    expect((await ada.page(`/requests/${request.id}/propose?q=Weir%20Pikes`)).body).toContain(
      `${url}?title=Weir%20Pikes`,
    )
    const fields = fieldsOf((await ada.page(`${url}?title=Weir%20Pikes`)).body, url)
    const typed = { ...fields, covers: 'spears', remark: 'Slim, but right.' }
    const refused = await ada.submit(url, { ...typed, 'file.offer.price.amount': 'cheap' })
    expect(refused.statusCode).toBe(422)
    for (const kept of [
      'value="Weir Pikes"',
      'value="cheap"',
      'Slim, but right.',
      'form-file-offer-price-amount-error',
    ])
      expect(refused.body).toContain(kept)
    const again = fieldsOf(refused.body, url)
    expect(again.covers).toBe('spears')
    const link = 'https://weir.example/pikes'
    const mended = { 'file.sculptor.name': 'Osier', 'file.offer.price.amount': '7,50', 'file.offer.url': link }
    for (let press = 0; press < 2; press++)
      expect((await ada.submit(url, { ...again, ...mended })).headers.location).toContain('said=proposed#answer-')
    const [proposal, ...more] = (await ada.get(`/requests/${request.id}/proposals`)).json().items
    expect(more).toEqual([])
    expect(proposal).toMatchObject({ covers: ['spears'], remark: 'Slim, but right.' })
    const file = (await ada.get(`/files/${proposal.file.id}`)).json()
    expect(file).toMatchObject({ title: 'Weir Pikes', standsInFor: [request.unit.id], sculptor: { name: 'Osier' } })
    expect(file.offers).toMatchObject([{ kind: 'purchase', price: { amount: '7.50', currency: 'EUR' }, url: link }])

    const bare = { ...fields, 'file.title': 'Bare Pikes', 'file.sculptor.name': 'Osier', once: 'another' }
    expect((await ada.submit(url, bare)).statusCode).toBe(303)
    const { items } = (await ada.get('/files?q=bare%20pikes')).json()
    expect((await ada.get(`/files/${items[0].id}`)).json().offers).toEqual([])
    const late = await ada.submit(url, {
      ...bare,
      'file.title': 'Late',
      'file.revision.releasedOn': '2999-01-01',
      once: '3',
    })
    expect(late.body).toContain('This day is in the future.')
    const atItsPlace = await ada.post(`/requests/${request.id}/proposals`, {
      file: { title: 'Late', sculptor: { name: 'Osier' }, revision: { label: 'x', releasedOn: '2999-01-01' } },
    })
    expect(atItsPlace.json().errors[0].path).toBe('/file/revision/releasedOn')
  })

  test('a must-have that the file lists is ticked before it is proposed, and can be unticked', async () => {
    const request = await aRequest(ada, { wanted: 1, mustHaves: ['Separate arms', 'a lantern'] })
    const url = `/requests/${request.id}/propose`
    const empty = (await ada.page(`/requests/${request.id}`)).body
    expect(empty).not.toMatch(/what is known to stand in|All stand-ins known/)
    const file = await aFile(ada, { standsInFor: [request.unit.id], options: ['separate arms', 'a pole'] })
    expect((await ada.page(`/requests/${request.id}`)).body).toMatch(/what is known to stand in/)
    // With script the radio button carries what it ticks; without, the form comes back once.
    expect((await ada.page(url)).body).toContain('data-ticks="[&quot;Separate arms&quot;]"')
    const box = /<input type="checkbox"[^>]*value="Separate arms"[^>]*>/
    expect((await ada.page(`${url}?fileId=${file.id}`)).body.match(box)?.[0]).toContain('checked')
    const unseen = await ada.submit(url, { fileId: file.id, ticked: '' })
    expect(unseen.statusCode).toBe(422)
    expect(unseen.body).toContain('The file lists “Separate arms”')
    expect(unseen.body.match(box)?.[0]).toContain('checked')
    expect(unseen.body).toContain(`name="ticked" value="${file.id}"`)
    const kept = await ada.submit(url, { fileId: file.id, ticked: file.id })
    expect(kept.statusCode).toBe(303)
    const page = (await ada.page(`/requests/${request.id}`)).body
    expect(page).toContain('It lacks a must-have:')
    expect(page).toContain('no Separate arms')
    expect(page).toMatch(/<h1[^>]*>[^0-9]/)
  })

  test('propose, settle and withdraw by forms', async () => {
    const request = await aRequest(ada, { mustHaves: ['spears'] })
    const file = await aFile(ada, { title: 'Ditch Runners' })
    const choices = await ada.page(`/requests/${request.id}/propose?q=ditch%20runers`)
    expect(choices.body).toContain('Ditch Runners')
    const none = await ada.submit(`/requests/${request.id}/propose`, { q: 'ditch runers', remark: 'forgot to choose' })
    expect(none.statusCode).toBe(422)
    expect(none.body).toContain('forgot to choose')
    const chosen = { fileId: file.id, covers: 'spears', remark: '' }
    expect((await ada.submit(`/requests/${request.id}/propose`, chosen)).statusCode).toBe(303)
    const before = (await ada.page(`/requests/${request.id}`)).body
    // The button stands behind what settling does.
    expect(before).toMatch(/<summary>Settle on Ditch Runners<.*can open it again.*Settle on this file</s)
    expect(before).not.toContain('Open the request again')
    const settled = await ada.submit(`/requests/${request.id}/settle`, { fileId: file.id, version: '1' })
    expect(settled.statusCode).toBe(303)
    const after = (await ada.page(`/requests/${request.id}`)).body
    expect(after).toContain('Settled on')
    const opened = await ada.submit(`/requests/${request.id}/open`, fieldsOf(after, `/requests/${request.id}/open`))
    expect(opened.headers.location).toBe(`/requests/${request.id}?said=request-opened`)
    expect((await ada.page(`/requests/${request.id}`)).body).not.toContain('Settled on')
    const other = await aRequest(ada)
    expect((await ada.submit(`/requests/${other.id}/withdraw`, { version: '1' })).statusCode).toBe(303)
    expect((await ada.page(`/requests/${other.id}`)).body).toContain('Withdrawn')
    expect((await ada.page(`/requests/${other.id}/edit`)).statusCode).toBe(404)
  })
})
