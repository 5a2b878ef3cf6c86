import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { aFile, anOffer } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'

const euros = (amount: string) => ({ amount, currency: 'EUR' })
const url = 'https://mill.example/lanterns?set=1&size=28'

describe('offers', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  let fileId: string
  let otherId: string
  beforeAll(async () => {
    ;({ app, close } = await startApp({ now: () => new Date('2026-03-10T12:00:00Z') }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
    fileId = (await aFile(ada, { title: 'Bog Lanterns' })).id
    otherId = (await aFile(ada, { title: 'Reed Cutters' })).id
  })
  afterAll(() => close())

  const add = (body: Record<string, unknown>) => ada.post(`/files/${fileId}/offers`, body)

  test('any member adds a way to get a file; it was seen today unless said otherwise', async () => {
    const made = await ben.post(`/files/${fileId}/offers`, { kind: 'purchase', price: euros('9'), url })
    expect(made.statusCode).toBe(201)
    expect(made.json()).toMatchObject({
      kind: 'purchase',
      price: euros('9.00'),
      minMonths: null,
      url,
      state: 'on sale',
      seenOn: '2026-03-10',
      files: [{ id: fileId, title: 'Bog Lanterns' }],
      prices: [{ price: euros('9.00'), state: 'on sale', seenOn: '2026-03-10' }],
      createdBy: { id: ben.id, name: 'Ben' },
    })
    expect((await ada.get(`/offers/${made.json().id}`)).json()).toEqual(made.json())
    const offers = (await ada.get(`/files/${fileId}`)).json().offers
    expect(offers).toContainEqual(made.json())
  })

  test('a bundle and a membership open several files', async () => {
    const bundle = { kind: 'bundle', title: 'Marsh box', price: euros('20.00'), fileIds: [otherId, otherId] }
    const bundled = (await add(bundle)).json()
    expect(bundled.files.map((file: { id: string }) => file.id)).toEqual([fileId, otherId])
    const membership = { kind: 'membership', price: euros('10.00'), minMonths: 2, fileIds: [fileId, otherId] }
    const wide = await ada.post('/offers', membership)
    expect(wide.json()).toMatchObject({ kind: 'membership', minMonths: 2, files: [{ id: fileId }, { id: otherId }] })
    const ids = (await ada.get(`/files/${otherId}`)).json().offers.map((offer: { id: string }) => offer.id)
    expect(ids).toEqual(expect.arrayContaining([bundled.id, wide.json().id]))
  })

  test('what is free costs 0 in the group’s currency', async () => {
    expect((await add({ kind: 'free' })).json().price).toEqual(euros('0.00'))
    expect((await add({ kind: 'free', price: euros('0') })).json().price).toEqual(euros('0.00'))
  })

  test('every price and state stays in its history', async () => {
    const { id } = await anOffer(ada, fileId, { price: euros('12.00'), seenOn: '2025-11-02' })
    await ada.patch(`/offers/${id}`, { price: { amount: '1100', currency: 'JPY' }, seenOn: '2026-01-05' })
    await ada.patch(`/offers/${id}`, { state: 'withdrawn' })
    await ada.patch(`/offers/${id}`, { title: 'only a word changed' })
    const offer = (await ben.get(`/offers/${id}`)).json()
    expect(offer.prices).toEqual([
      { price: euros('12.00'), state: 'on sale', seenOn: '2025-11-02' },
      { price: { amount: '1100', currency: 'JPY' }, state: 'on sale', seenOn: '2026-01-05' },
      { price: { amount: '1100', currency: 'JPY' }, state: 'withdrawn', seenOn: '2026-03-10' },
    ])
    expect(offer).toMatchObject({ seenOn: '2026-03-10', state: 'withdrawn', title: 'only a word changed', version: 4 })
  })

  test('an amount has the digits of its currency (ISO 4217: JPY 0, EUR 2, KWD 3)', async () => {
    const dinars = { kind: 'purchase', price: { amount: '1.25', currency: 'KWD' } }
    expect((await add(dinars)).json().price).toEqual({ amount: '1.250', currency: 'KWD' })
    for (const price of [euros('1.005'), { amount: '10.5', currency: 'JPY' }, euros('-1'), euros('1e3')])
      expect((await add({ kind: 'purchase', price })).json().errors[0].path).toBe('/price/amount')
    const unknown = await add({ kind: 'purchase', price: { amount: '1', currency: 'EURO' } })
    expect(unknown.json().errors[0].path).toBe('/price/currency')
  })

  test.each([
    ['/price', { kind: 'purchase' }],
    ['/price', { kind: 'free', price: euros('1.00') }],
    ['/minMonths', { kind: 'membership', price: euros('10.00') }],
    ['/minMonths', { kind: 'membership', price: euros('10.00'), minMonths: 0 }],
    ['/minMonths', { kind: 'purchase', price: euros('10.00'), minMonths: 1 }],
    ['/seenOn', { kind: 'purchase', price: euros('10.00'), seenOn: '2026-03-12' }],
    ['/url', { kind: 'purchase', price: euros('10.00'), url: 'javascript:alert(1)' }],
    ['/url', { kind: 'purchase', price: euros('10.00'), url: 'JaVaScRiPt:alert(1)' }],
    ['/url', { kind: 'purchase', price: euros('10.00'), url: 'data:text/html,<p>' }],
    ['/url', { kind: 'purchase', price: euros('10.00'), url: 'https://' }],
    ['/url', { kind: 'purchase', price: euros('10.00'), url: `https://a.example/${'x'.repeat(10_000)}` }],
    ['/url', { kind: 'purchase', price: euros('10.00'), url: 'https://a.example/ javascript:x' }],
    ['/title', { kind: 'purchase', price: euros('10.00'), title: 'x'.repeat(10_000) }],
    ['/state', { kind: 'purchase', price: euros('10.00'), state: 'sold' }],
    ['/kind', { kind: 'lottery', price: euros('10.00') }],
    ['/discount', { kind: 'purchase', price: euros('10.00'), discount: 1 }],
  ])('refuses at %s: %j', async (path, body) => {
    const answer = await add(body)
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
  })

  test('a purchase gets one file; an offer of several needs files that exist', async () => {
    const price = euros('10.00')
    expect((await add({ kind: 'purchase', price, fileIds: [otherId] })).json().errors[0].path).toBe('/fileIds')
    expect((await ada.post('/offers', { kind: 'bundle', price })).json().errors[0].path).toBe('/fileIds')
    expect((await ada.post('/offers', { kind: 'purchase', price, fileIds: [fileId] })).statusCode).toBe(422)
    const stranger = { kind: 'bundle', price, fileIds: [fileId, ada.id] }
    expect((await ada.post('/offers', stranger)).json().errors[0].path).toBe('/fileIds/1')
  })

  test('a change keeps the terms fitting together', async () => {
    const purchase = await anOffer(ada, fileId)
    expect((await ada.patch(`/offers/${purchase.id}`, { minMonths: 3 })).json().errors[0].path).toBe('/minMonths')
    expect((await ada.patch(`/offers/${purchase.id}`, { price: null })).json().errors[0].path).toBe('/price')
    expect((await ada.patch(`/offers/${purchase.id}`, { fileIds: [] })).json().errors[0].path).toBe('/fileIds')
    expect((await ada.patch(`/offers/${purchase.id}`, { fileIds: [fileId, otherId] })).statusCode).toBe(422)
    expect((await ada.patch(`/offers/${purchase.id}`, { kind: 'free' })).json().errors[0].path).toBe('/kind')
    const bundle = { kind: 'bundle', price: euros('20.00'), fileIds: [fileId, otherId] }
    const { id } = (await ada.post('/offers', bundle)).json()
    const changed = (await ada.patch(`/offers/${id}`, { fileIds: [otherId], url })).json()
    expect(changed).toMatchObject({ files: [{ id: otherId }], url })
    expect(changed.prices).toHaveLength(1)
    expect((await ada.patch(`/offers/${id}`, { url: 'javascript:alert(1)' })).json().errors[0].path).toBe('/url')
    expect((await ada.get(`/offers/${id}`)).json().url).toBe(url)
  })

  test('a withdrawn file stays as knowledge, not as a link', async () => {
    const { id } = await anOffer(ada, fileId, { url: 'https://gone.example/set', state: 'withdrawn' })
    for (const person of [ada, ben]) {
      expect((await person.get(`/offers/${id}`)).json()).toMatchObject({ url: null, state: 'withdrawn' })
      expect((await person.get(`/files/${fileId}`)).body).not.toContain('gone.example')
    }
    expect((await odile.get(`/offers/${id}`)).json().url).toBe('https://gone.example/set')
    expect((await ada.patch(`/offers/${id}`, { state: 'on sale' })).json().url).toBe('https://gone.example/set')
  })

  test('is changed by its author or, with If-Match, by a steward', async () => {
    const { id } = await anOffer(ada, fileId)
    const any = { headers: { 'if-match': '*' } }
    expect((await ben.patch(`/offers/${id}`, { price: euros('1') }, any)).statusCode).toBe(403)
    expect((await odile.patch(`/offers/${id}`, { price: euros('1') })).statusCode).toBe(428)
    const headers = { 'if-match': String((await odile.get(`/offers/${id}`)).headers.etag) }
    expect((await odile.patch(`/offers/${id}`, { price: euros('8') }, { headers })).json().version).toBe(2)
    expect((await ada.patch(`/offers/${id}`, { price: euros('7') }, { headers })).statusCode).toBe(412)
    expect((await ada.get(`/offers/${id}`)).json().price).toEqual(euros('8.00'))
  })

  test('hangs on what exists, and is for members', async () => {
    const offer = { kind: 'free' }
    expect((await ada.post(`/files/${ada.id}/offers`, offer)).statusCode).toBe(404)
    expect((await ada.get(`/offers/${ada.id}`)).statusCode).toBe(404)
    expect((await ada.patch(`/offers/${ada.id}`, { title: 'x' })).statusCode).toBe(404)
    expect((await ada.get('/offers/nonsense')).statusCode).toBe(404)
    const nobody = outsider(app)
    const { id } = await anOffer(ada, fileId)
    expect((await nobody.post(`/files/${fileId}/offers`, offer)).statusCode).toBe(401)
    expect((await nobody.post('/offers', offer)).statusCode).toBe(401)
    expect((await nobody.get(`/offers/${id}`)).statusCode).toBe(401)
    expect((await nobody.patch(`/offers/${id}`, {})).statusCode).toBe(401)
  })

  describe('pages', () => {
    test('an offer is added, shown with its earlier prices, and changed', async () => {
      const { id } = await aFile(ada, { title: 'Sedge Archers' })
      expect((await ada.page(`/files/${id}`)).body).toContain('Nobody has noted yet where to get it.')
      const typed = {
        kind: 'purchase',
        'price.amount': '12,50',
        'price.currency': 'EUR',
        url,
        state: 'on sale',
        seenOn: '2026-01-02',
      }
      const added = await ada.submit(`/files/${id}/offers/new`, { ...typed, once: 'sedge-1' })
      expect(added.headers.location).toBe(`/files/${id}?said=offer-added#offers`)
      const [offer] = (await ada.get(`/files/${id}`)).json().offers
      const form = (await ada.page(`/offers/${offer.id}/edit`)).body
      expect(form).toContain('value="12.50"')
      expect(form).toMatch(/Prices so far.*2 January 2026.*€12\.50/s)
      // Whoever looks at it again has seen it today.
      expect(form).toContain('value="2026-03-10"')
      const change = {
        'price.amount': '9',
        'price.currency': 'EUR',
        url,
        state: 'on sale',
        seenOn: '2026-03-10',
        title: '',
      }
      const changed = await ada.submit(`/offers/${offer.id}/edit`, { ...change, version: '1' })
      expect(changed.headers.location).toBe(`/offers/${offer.id}?said=offer-changed`)
      const shown = (await ben.page(`/files/${id}`)).body
      expect(shown).toContain('€9.00')
      expect(shown).toMatch(/€12\.50.*2 January 2026/s)
      expect(shown).toContain('rel="noopener noreferrer nofollow external"')
      const late = await odile.submit(`/offers/${offer.id}/edit`, { ...change, version: '1' })
      expect(late.statusCode).toBe(422)
      expect(late.body).toContain('Somebody changed this after you opened it')
      expect((await ben.submit(`/offers/${offer.id}/edit`, { ...change, version: '2' })).statusCode).toBe(403)
    })

    test('a bundle draws what it opens', async () => {
      const names = ['Cutters One', 'Cutters Two', 'Cutters Three']
      const files = []
      for (const title of names) files.push((await aFile(ada, { title })).id)
      const bundle = { kind: 'bundle', title: 'Cutters', price: euros('20.00'), fileIds: files }
      const { id } = (await ada.post('/offers', bundle)).json()
      const { body } = await ben.page(`/offers/${id}`)
      expect(body).toMatch(/€20\.00/)
      const rows = [
        ...body.matchAll(/<li><span class="row-drawing"><svg.*?<a class="row-name" href="\/files\/([^"]*)">/gs),
      ]
      expect(rows.map(([, fileId]) => fileId).toSorted()).toEqual(files.toSorted())
      const form = (await ada.page(`/offers/${id}/edit`)).body
      for (const fileId of files)
        expect(form).toMatch(new RegExp(`name="fileIds" value="${fileId}"[^>]*/><span class="choice-drawing"><svg`))
    })

    test('a new one’s form says what is known already', async () => {
      const { id } = await aFile(ada, { title: 'Known Cutters' })
      expect((await ada.page(`/files/${id}/offers/new`)).body).not.toContain('Known already')
      await anOffer(ada, id, { title: 'Cutters alone', price: euros('4.20') })
      const { body } = await ben.page(`/files/${id}/offers/new`)
      expect(body).toMatch(/Known already.*Cutters alone.*€4\.20/s)
    })

    test('a refused form keeps what was typed and says the reason at the field', async () => {
      const typed = { kind: 'purchase', 'price.amount': '1.005', 'price.currency': 'EUR', url: 'data:text/html,x' }
      const refused = await ada.submit(`/files/${fileId}/offers/new`, typed)
      expect(refused.statusCode).toBe(422)
      expect(refused.body).toContain('Too many digits after the point for EUR.')
      expect(refused.body).toContain('value="1.005"')
      expect(refused.body).toContain('value="data:text/html,x"')
      const endless = { kind: 'membership', 'price.amount': '10', 'price.currency': 'EUR' }
      expect((await ada.submit(`/files/${fileId}/offers/new`, endless)).body).toContain('For at least how many months?')
      const unknown = { kind: 'purchase', 'price.amount': '10', 'price.currency': 'QQQ' }
      expect((await ada.submit(`/files/${fileId}/offers/new`, unknown)).body).toContain('not a currency code')
    })

    test('what is emptied in a change is asked for, not kept in silence', async () => {
      const typed = {
        kind: 'membership',
        'price.amount': '10',
        'price.currency': 'EUR',
        minMonths: '3',
        title: 'Bog club',
      }
      const added = await ada.submit(`/files/${fileId}/offers/new`, typed)
      const path = String(added.headers.location).replace(/\?.*/, '')
      const { kind: _, ...change } = { ...typed, fileIds: ['', fileId] }
      for (const [field, reason] of [
        ['price.amount', 'What does it cost?'],
        ['minMonths', 'For at least how many months?'],
      ] as const) {
        const refused = await ada.submit(path, { ...change, [field]: '' })
        expect([refused.statusCode, refused.body.includes(reason)]).toEqual([422, true])
      }
    })

    test('what a bundle opens is ticked, dropped, and added by title without script', async () => {
      const typed = { kind: 'bundle', 'price.amount': '30', 'price.currency': 'EUR', title: 'Whole marsh' }
      const added = await ada.submit(`/files/${fileId}/offers/new`, typed)
      const path = String(added.headers.location).replace(/\?.*/, '')
      expect(path).toMatch(/^\/offers\/[0-9a-f-]{36}\/edit$/)
      const kept = { title: 'Whole marsh', 'price.amount': '30', 'price.currency': 'EUR', fileIds: ['', fileId] }
      const asked = await ada.submit(path, { ...kept, titles: 'reed cuters' })
      expect(asked.statusCode).toBe(422)
      expect(asked.body).toContain('Which files does “reed cuters” mean?')
      const fields = fieldsOf(asked.body, path)
      expect(fields).toMatchObject({ titles: 'reed cuters', fileIds: ['', fileId] })
      expect(String(fields.offered).split(' ')).toContain(otherId)
      await ada.submit(path, { ...fields, fileIds: ['', fileId, otherId] })
      const offer = (await ada.get(path.replace('/edit', ''))).json()
      expect(offer.files.map((file: { id: string }) => file.id)).toEqual([fileId, otherId])
      expect(offer.prices).toHaveLength(1)
      await ada.submit(path, { ...kept, fileIds: ['', otherId] })
      expect((await ada.page(path.replace('/edit', ''))).body).not.toContain(`/files/${fileId}"`)
      const none = await ada.submit(path, { ...kept, fileIds: '' })
      expect(none.statusCode).toBe(422)
      expect(none.body).toContain('Name at least one.')
    })

    test('a bundle takes several files at once: titles one a line, and whatever a sculptor’s name brings', async () => {
      const sculptor = { name: 'Sedge Loom' }
      const [one, two, three] = [
        await aFile(ada, { title: 'Sluice Choir', sculptor }),
        await aFile(ada, { title: 'Sluice Drums', sculptor }),
        await aFile(ada, { title: 'Peat Oracle' }),
      ]
      const path = `/files/${fileId}/offers/new`
      const start = fieldsOf((await ada.page(path)).body, path)
      const typed = { ...start, kind: 'bundle', 'price.amount': '25', titles: 'peat oracle\r\nSedge Loom\r\n\r\nzzyzx' }
      const asked = await ada.submit(path, typed)
      expect(asked.statusCode).toBe(422)
      const fields = fieldsOf(asked.body, path)
      expect(fields).toMatchObject({ titles: 'Sedge Loom\nzzyzx', fileIds: ['', three.id], 'price.amount': '25' })
      const chosen = { ...fields, fileIds: [three.id, one.id, two.id] }
      expect((await ada.submit(path, chosen)).body).toContain('The group knows no file like “zzyzx”')
      const added = await ada.submit(path, { ...chosen, titles: 'Sedge Loom' })
      expect(added.headers.location).toBe(`/files/${fileId}?said=offer-added#offers`)
      const offer = (await ada.get(`/files/${three.id}`)).json().offers[0]
      const opens = offer.files.map(({ id }: { id: string }) => id).sort()
      expect(opens).toEqual([fileId, one.id, two.id, three.id].sort())
      const many = { ...typed, titles: Array.from({ length: 31 }, (_, line) => `File ${line}`).join('\n') }
      expect((await ada.submit(path, { ...many, once: 'many' })).body).toContain('At most 30 lines at a time.')
      const sole = await ada.submit(path, { ...typed, kind: 'purchase', titles: 'Peat Oracle', once: 'sole' })
      expect(sole.body).toContain('A purchase is of one file; several are a bundle.')
    })

    test('a withdrawn offer has no link, and changing it does not lose the link that is not shown', async () => {
      const { id } = await aFile(ada)
      const offer = await anOffer(ada, id, { url: 'https://once.example/there', state: 'withdrawn' })
      for (const path of [`/files/${id}`, `/offers/${offer.id}`, `/offers/${offer.id}/edit`])
        expect((await ada.page(path)).body).not.toContain('once.example')
      expect((await ada.page(`/files/${id}`)).body).toContain(
        'It is no longer available: every offer has been withdrawn.',
      )
      const change = { 'price.amount': '9.00', 'price.currency': 'EUR', url: '', state: 'withdrawn', title: 'Old box' }
      await ada.submit(`/offers/${offer.id}/edit`, change)
      expect((await odile.get(`/offers/${offer.id}`)).json()).toMatchObject({
        title: 'Old box',
        url: 'https://once.example/there',
      })
      const shown = await anOffer(ada, id, { url: 'https://shown.example/' })
      await ada.submit(`/offers/${shown.id}/edit`, { ...change, state: 'on sale' })
      expect((await odile.get(`/offers/${shown.id}`)).json().url).toBeNull()
    })

    test('are for members, and unknown ids are 404', async () => {
      expect((await ada.page(`/offers/${ada.id}`)).statusCode).toBe(404)
      expect((await ada.page(`/files/${ada.id}/offers/new`)).statusCode).toBe(404)
      expect((await outsider(app).page(`/offers/${ada.id}/edit`)).headers.location).toContain('/sign-in')
    })
  })
})
