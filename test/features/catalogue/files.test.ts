import { afterAll, describe, expect, test } from 'vitest'
import { outsider, type Person, startGroup } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'

const { app, odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('files', () => {
  const found = async (person: Person, query: string) =>
    (await person.get(`/files?${query}`)).json().items.map((file: { title: string }) => file.title)

  test('a file is kept as it was given, with its first revision and an offer', async () => {
    const unit = await aUnit(ada)
    const facts = {
      title: 'Ferrymen of the Low Water',
      standsInFor: [unit.id],
      scaleMm: 28,
      base: { shape: 'oval', widthMm: 38, lengthMm: 62 },
      heightMm: 47.5,
      formats: ['stl', 'slicer project'],
      options: ['boat hooks', 'lanterns'],
      styleTags: ['grim'],
      licence: 'personal use',
      resinMl: 8.25,
      remark: 'Two poses are mirrored.',
    }
    const made = await ada.post('/files', {
      ...facts,
      sculptor: { name: 'Tilda Vorn' },
      revision: { label: 'first', releasedOn: '2025-03-01', supportKinds: ['as supplied'] },
      offer: { kind: 'purchase', price: { amount: '9.5', currency: 'EUR' }, url: 'https://vorn.example/ferrymen' },
    })
    expect(made.statusCode).toBe(201)
    const { id } = made.json()
    expect(made.headers.location).toBe(`/api/v1/files/${id}`)
    const file = (await ben.get(`/files/${id}`)).json()
    expect(file).toMatchObject({
      ...facts,
      sculptor: { name: 'Tilda Vorn', credit: 'named' },
      units: [{ id: unit.id, name: unit.name }],
      revisions: [{ label: 'first', releasedOn: '2025-03-01', supportSets: [{ kind: 'as supplied' }] }],
      offers: [{ kind: 'purchase', price: { amount: '9.50', currency: 'EUR' }, url: 'https://vorn.example/ferrymen' }],
      snags: [],
      inArchive: false,
      createdBy: { id: ada.id, name: 'Ada' },
    })
  })

  test('what is not known is left empty; resin then counts as the group’s figure', async () => {
    const made = (await ada.post('/files', { title: 'Bare Facts', sculptor: { name: 'Tilda Vorn' } })).json()
    expect(made).toMatchObject({ resinMl: null, scaleMm: null, base: null, formats: [], revisions: [], offers: [] })
  })

  test('is found by title and by sculptor, with typing errors and without accents', async () => {
    await aFile(ada, { title: 'Moor Hounds', sculptor: { name: 'Renée Askø' } })
    for (const q of ['moor hounds', 'moor hunds', 'HOUNDS', 'renee', 'Rénee Asko'])
      expect(await found(ben, `q=${encodeURIComponent(q)}`)).toContain('Moor Hounds')
    expect(await found(ben, 'q=steam%20tractor')).toEqual([])
    expect(await found(ben, 'q=%25')).toEqual([])
  })

  test('is listed by unit and by sculptor, newest first, every file once', async () => {
    const unit = await aUnit(ada)
    const sculptor = { name: 'Ossel Grane' }
    for (const title of ['One', 'Two', 'Three']) await aFile(ada, { title, sculptor, standsInFor: [unit.id] })
    expect(await found(ben, `unitId=${unit.id}`)).toEqual(['Three', 'Two', 'One'])
    const { id } = (await ben.get('/sculptors?q=ossel')).json().items[0]
    expect(await found(ben, `sculptorId=${id}`)).toEqual(['Three', 'Two', 'One'])
    const first = await ben.get(`/files?sculptorId=${id}&limit=2`)
    expect(first.json().items).toHaveLength(2)
    const next = /<\/api\/v1(.*)>; rel="next"/.exec(String(first.headers.link))?.[1] ?? ''
    expect((await ben.get(next)).json()).toMatchObject({ items: [{ title: 'One' }], next: null })
    expect((await ben.get('/files?after=nonsense')).statusCode).toBe(422)
    expect((await ben.get('/files?unitId=nonsense')).statusCode).toBe(422)
  })

  test('the same title by the same sculptor is a conflict, by another it is another file', async () => {
    const file = { title: 'Salt Priests', sculptor: { name: 'Édith Marl' } }
    expect((await ada.post('/files', file)).statusCode).toBe(201)
    const twin = { title: 'SALT priests', sculptor: { name: 'edith marl' } }
    expect((await ben.post('/files', twin)).statusCode).toBe(409)
    expect((await ben.post('/files', { ...twin, sculptor: { name: 'Someone else' } })).statusCode).toBe(201)
    const sculptors = (await ben.get('/sculptors?q=edith%20marl')).json().items
    expect(sculptors).toHaveLength(1)
    expect(sculptors[0]).toMatchObject({ name: 'Édith Marl', files: 1 })
  })

  test('two members who add the same file at once: one does', async () => {
    const file = { title: 'Twin Spires', sculptor: { name: 'Both Of Them' } }
    const answers = await Promise.all([ada.post('/files', file), ben.post('/files', file)])
    expect(answers.map((answer) => answer.statusCode).sort()).toEqual([201, 409])
    expect(await found(ada, 'q=twin%20spires')).toEqual(['Twin Spires'])
  })

  test('a refused offer or revision leaves no half of a file', async () => {
    const file = { title: 'Half Done', sculptor: { name: 'Nobody Yet' } }
    const late = await ada.post('/files', { ...file, revision: { label: 'a', releasedOn: '2999-01-01' } })
    expect(late.statusCode).toBe(422)
    expect(late.json().errors[0].path).toBe('/revision/releasedOn')
    const several = { kind: 'purchase', price: { amount: '1.00', currency: 'EUR' }, fileIds: [ada.id] }
    expect((await ada.post('/files', { ...file, offer: several })).json().errors[0].path).toBe('/offer/fileIds')
    expect(await found(ada, 'q=half%20done')).toEqual([])
    expect((await ada.get('/sculptors?q=nobody%20yet')).json().items).toEqual([])
  })

  const wrong: [string, Record<string, unknown>][] = [
    ['/title', { title: 'x'.repeat(10_000) }],
    ['/title', { title: '   ' }],
    ['/title', { title: 'two\nlines' }],
    ['/title', { title: 'half \ud800' }],
    ['/sculptor/name', { sculptor: { credit: 'unnamed' } }],
    ['/sculptor/name', { sculptor: { name: 'x'.repeat(10_000) } }],
    ['/sculptor/credit', { sculptor: { name: 'A', credit: 'maybe' } }],
    ['/sculptor/link', { sculptor: { name: 'A', link: 'https://a.example' } }],
    ['/styleTags', { styleTags: Array.from({ length: 300 }, (_, index) => `tag ${index}`) }],
    ['/standsInFor/0', { standsInFor: ['no id'] }],
    ['/standsInFor/0', { standsInFor: ['01890000-0000-7000-8000-000000000000'] }],
    ['/resinMl', { resinMl: -1 }],
    ['/resinMl', { resinMl: 0.001 }],
    ['/resinMl', { resinMl: '9' }],
    ['/heightMm', { heightMm: 0.01 }],
    ['/scaleMm', { scaleMm: 1e9 }],
    ['/base/lengthMm', { base: { shape: 'oval', widthMm: 20 } }],
    ['/resinML', { resinML: 9 }],
    ['/offer/price/currency', { offer: { kind: 'purchase', price: { amount: '1', currency: 'QQQ' } } }],
    ['/offer/price/amount', { offer: { kind: 'purchase', price: { amount: '1.005', currency: 'EUR' } } }],
    ['/revision/sha256', { revision: { label: 'a', sha256: 'abc' } }],
  ]
  test.each(wrong)('refuses at %s: %j', async (path, over) => {
    const answer = await ada.post('/files', { title: 'Wrong', sculptor: { name: 'Wrong' }, ...over })
    expect(answer.statusCode).toBe(422)
    expect(answer.headers['content-type']).toContain('application/problem+json')
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
  })

  test('is changed by its author or, with If-Match, by a steward', async () => {
    const unit = await aUnit(ada)
    const { id } = await aFile(ada, { standsInFor: [unit.id], options: ['spears'] })
    const any = { headers: { 'if-match': '*' } }
    expect((await ben.patch(`/files/${id}`, { heightMm: 40 })).statusCode).toBe(428)
    expect((await ben.patch(`/files/${id}`, { heightMm: 40 }, any)).statusCode).toBe(403)
    expect((await odile.patch(`/files/${id}`, { heightMm: 40 })).statusCode).toBe(428)
    const headers = { 'if-match': String((await odile.get(`/files/${id}`)).headers.etag) }
    const changed = await odile.patch(`/files/${id}`, { heightMm: 40, standsInFor: [] }, { headers })
    expect(changed.json()).toMatchObject({ heightMm: 40, standsInFor: [], options: ['spears'], version: 2 })
    expect((await ada.patch(`/files/${id}`, { heightMm: 41 }, { headers })).statusCode).toBe(412)
    expect((await ada.patch(`/files/${id}`, { base: null, resinMl: null })).json().resinMl).toBeNull()
    expect((await ada.patch(`/files/${ada.id}`, { heightMm: 41 })).statusCode).toBe(404)
  })

  test('of two who change the same state at once, one is told so', async () => {
    const { id } = await aFile(ada)
    const headers = { 'if-match': '"1"' }
    const answers = await Promise.all([
      ada.patch(`/files/${id}`, { heightMm: 1 }, { headers }),
      odile.patch(`/files/${id}`, { heightMm: 2 }, { headers }),
    ])
    expect(answers.map((answer) => answer.statusCode).sort()).toEqual([200, 412])
  })

  test('is for members, and unknown ids are 404', async () => {
    const nobody = outsider(app)
    for (const path of ['/files', `/files/${ada.id}`, '/sculptors', `/sculptors/${ada.id}`]) {
      expect((await nobody.get(path)).statusCode).toBe(401)
    }
    expect((await nobody.post('/files', {})).statusCode).toBe(401)
    expect((await nobody.patch(`/files/${ada.id}`, {})).statusCode).toBe(401)
    expect((await ada.get(`/files/${ada.id}`)).statusCode).toBe(404)
    expect((await ada.get('/files/nonsense')).statusCode).toBe(404)
  })
})
