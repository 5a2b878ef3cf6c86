import { afterAll, describe, expect, test } from 'vitest'
import { member, outsider, startGroup } from '../../support/app.ts'
import { aFile, aMeasure, anOffer } from '../../support/catalogue.ts'

const { app, odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('archive and memberships', () => {
  const membership = { kind: 'membership', price: { amount: '10.00', currency: 'EUR' }, minMonths: 1 }

  test('a file is kept and taken out, as often as one likes', async () => {
    const { id } = await aFile(ada)
    expect((await ada.put(`/archive/${id}`)).statusCode).toBe(204)
    expect((await ada.put(`/archive/${id}`)).statusCode).toBe(204)
    expect((await ada.get('/archive')).json()).toMatchObject({ items: [{ file: { id } }], next: null })
    expect((await ada.get(`/files/${id}`)).json().inArchive).toBe(true)
    expect((await ada.delete(`/archive/${id}`)).statusCode).toBe(204)
    expect((await ada.delete(`/archive/${id}`)).statusCode).toBe(204)
    expect((await ada.get('/archive')).json().items).toEqual([])
    expect((await ada.get(`/files/${id}`)).json().inArchive).toBe(false)
  })

  test('is one’s own: nobody sees or empties another’s', async () => {
    const { id } = await aFile(ada)
    await ada.put(`/archive/${id}`)
    expect((await ben.get('/archive')).json().items).toEqual([])
    expect((await ben.get(`/files/${id}`)).json().inArchive).toBe(false)
    await ben.delete(`/archive/${id}`)
    expect((await ada.get(`/files/${id}`)).json().inArchive).toBe(true)
  })

  test('is listed in pages, every file once', async () => {
    const ids = []
    for (let turn = 0; turn < 5; turn++) ids.push((await aFile(ben)).id)
    for (const id of ids) await ben.put(`/archive/${id}`)
    const seen: string[] = []
    let url = '/archive?limit=2'
    while (url) {
      const answer = await ben.get(url)
      seen.push(...answer.json().items.map((one: { file: { id: string } }) => one.file.id))
      url = /^<\/api\/v1(.*)>; rel="next"$/.exec(String(answer.headers.link ?? ''))?.[1] ?? ''
    }
    expect(seen).toEqual(ids.toReversed())
  })

  test('a membership runs and ends; nothing else can run', async () => {
    const { id: fileId } = await aFile(ada)
    const { id } = await anOffer(ada, fileId, membership)
    expect((await ada.put(`/memberships/${id}`)).statusCode).toBe(204)
    expect((await ada.put(`/memberships/${id}`)).statusCode).toBe(204)
    expect((await ada.get('/memberships')).json().items).toMatchObject([{ offer: { id, files: [{ id: fileId }] } }])
    expect((await ben.get('/memberships')).json().items).toEqual([])
    const purchase = await anOffer(ada, fileId)
    const refused = await ada.put(`/memberships/${purchase.id}`)
    expect(refused.statusCode).toBe(422)
    expect(refused.json().detail).toContain('not a membership')
    expect((await ada.delete(`/memberships/${id}`)).statusCode).toBe(204)
    expect((await ada.get('/memberships')).json().items).toEqual([])
  })

  test('knows only what exists, and is for members', async () => {
    expect((await ada.put(`/archive/${ada.id}`)).statusCode).toBe(404)
    expect((await ada.put('/archive/nonsense')).statusCode).toBe(404)
    expect((await ada.put(`/memberships/${ada.id}`)).statusCode).toBe(404)
    expect((await ada.get('/archive?limit=0')).statusCode).toBe(422)
    const nobody = outsider(app)
    for (const path of ['/archive', '/memberships']) {
      expect((await nobody.get(path)).statusCode).toBe(401)
      expect((await nobody.put(`${path}/${ada.id}`)).statusCode).toBe(401)
      expect((await nobody.delete(`${path}/${ada.id}`)).statusCode).toBe(401)
    }
  })

  test('stands on a shelf, all of it at one scale, and what is wide takes two places', async () => {
    const dora = await member(odile, 'Dora')
    const revision = { label: 'first' }
    const small = await aFile(ada, { title: 'Small Fry', revision })
    const giant = await aFile(ada, { title: 'Great Fry', revision })
    const box = await aFile(ada, { title: 'Unmeasured Fry', heightMm: 50 })
    await aMeasure(ada, `/revisions/${small.revisions[0]?.id}`, { widthMm: 20, heightMm: 40 })
    await aMeasure(ada, `/revisions/${giant.revisions[0]?.id}`, { widthMm: 120, heightMm: 80 })
    for (const { id } of [small, giant, box]) await dora.put(`/archive/${id}`)
    const { body } = await dora.page('/archive')
    const places = new Map(
      [...body.matchAll(/<li class="(file-place[^"]*)">(.*?)<\/li>/gs)].map(([, name, place = '']) => {
        const [, title = ''] = /<a href="\/files\/[^"]*">([^<]*)</.exec(place) ?? []
        const [, width, height, across, up] =
          /width="([\d.]+)" height="([\d.]+)" viewBox="\S+ \S+ (\S+) (\S+)"/.exec(place) ?? []
        const scales = [Number(width) / Number(across), Number(height) / Number(up)]
        return [title, { name, scales, isBox: place.includes('shadow-unknown') }]
      }),
    )
    expect([...places.keys()].toSorted()).toEqual(['Great Fry', 'Small Fry', 'Unmeasured Fry'])
    const [one = 0, ...others] = [...places.values()].flatMap(({ scales }) => scales)
    expect(one).toBeGreaterThan(0)
    for (const other of others) expect(other).toBeCloseTo(one, 1)
    expect(places.get('Great Fry')?.name).toBe('file-place file-place-wide')
    expect(places.get('Small Fry')?.name).toBe('file-place')
    expect([...places].filter(([, { isBox }]) => isBox).map(([title]) => title)).toEqual(['Unmeasured Fry'])
  })

  test('a long shelf is shown a dozen files at a time', async () => {
    const eli = await member(odile, 'Eli')
    const ids: string[] = []
    for (let index = 0; index < 14; index++) ids.push((await aFile(ada, { title: `Shelf set ${index}` })).id)
    for (const id of ids) await eli.put(`/archive/${id}`)
    const shown = (body: string) => ids.filter((id) => body.includes(`action="/archive/${id}/take-out"`))
    const first = (await eli.page('/archive')).body
    const next = /href="(\/archive\?after=[^"]+)"/.exec(first)?.[1] ?? ''
    const rest = (await eli.page(next.replaceAll('&amp;', '&'))).body
    expect([shown(first).length, shown(rest).length]).toEqual([12, 2])
    expect(new Set([...shown(first), ...shown(rest)]).size).toBe(14)
  })

  test('a membership says how much it opens', async () => {
    const files = []
    for (let turn = 0; turn < 8; turn++) files.push((await aFile(ada)).id)
    const club = await ada.post('/offers', { ...membership, title: 'Long Club', fileIds: files })
    expect(club.statusCode).toBe(201)
    const { body } = await ben.page('/archive')
    const [, row = ''] = /Long Club<\/a>(.*?)<\/li>/s.exec(body) ?? []
    expect(row).toContain('opens 8 files')
  })

  test('by page: looked up, added, taken out; a membership noted and struck out', async () => {
    const cleo = await member(odile, 'Cleo')
    expect((await cleo.page('/archive')).body).toContain('Nothing yet.')
    const { id } = await aFile(ada, { title: 'Weir Keepers' })
    const looked = (await cleo.page('/archive?q=weir%20keper')).body
    expect(looked).toContain(`action="/archive/${id}/keep"`)
    const kept = await cleo.submit(`/archive/${id}/keep`, { back: '/archive' })
    expect(kept.headers.location).toBe('/archive?said=archived')
    expect((await cleo.page('/archive')).body).toContain(`action="/archive/${id}/take-out"`)
    expect((await cleo.page(`/files/${id}`)).body).toContain('It is in your archive')
    const out = await cleo.submit(`/archive/${id}/take-out`, { back: '//evil.example/' })
    expect(out.headers.location).toBe(`/files/${id}?said=unarchived`)
    const offer = await anOffer(ada, id, { ...membership, title: 'Weir circle' })
    expect((await cleo.page('/archive')).body).toContain(`action="/memberships/${offer.id}/start"`)
    await cleo.submit(`/memberships/${offer.id}/start`, { back: '/archive' })
    expect((await cleo.page('/archive')).body).toContain(`action="/memberships/${offer.id}/end"`)
    expect((await cleo.page(`/files/${id}`)).body).toContain('I no longer pay for it')
    expect((await cleo.submit(`/memberships/${offer.id}/end`, {})).headers.location).toBe(
      `/offers/${offer.id}?said=membership-ended`,
    )
    expect((await cleo.page('/archive?q=zzyzx')).body).toContain('No file is called anything like “zzyzx”.')
    expect((await cleo.submit(`/archive/${ada.id}/keep`, {})).statusCode).toBe(404)
    expect((await outsider(app).page('/archive')).headers.location).toContain('/sign-in')
    expect((await outsider(app).submit(`/archive/${id}/keep`, {})).statusCode).toBe(401)
  })
})
