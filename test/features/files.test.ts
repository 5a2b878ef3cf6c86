import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../server/http/app-type.ts'
import { member, outsider, owner, type Person, startApp } from '../support/app.ts'
import { aFile, aUnit } from '../support/catalogue.ts'
import { aPrintable, aReport } from '../support/printing.ts'

describe('files', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
  })
  afterAll(() => close())

  const found = async (person: Person, query: string) =>
    (await person.get(`/files?${query}`)).json().items.map((file: { title: string }) => file.title)

  test('a file is kept as it was given, with its first revision and an offer', async () => {
    const unit = await aUnit(ada)
    const facts = {
      title: 'Ferrymen of the Low Water',
      standsInFor: [unit.id],
      scaleMm: 28,
      base: { shape: 'oval', widthMm: 35, lengthMm: 60 },
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
    ['/sculptor', { sculptor: undefined }],
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

  describe('pages', () => {
    const idIn = (location: unknown) => /\/files\/([0-9a-f-]{36})/.exec(String(location))?.[1] ?? ''
    const typed = {
      title: 'Eel Knights',
      'sculptor.name': 'Page Sculptor',
      scaleMm: '28,5',
      'base.shape': 'round',
      'base.widthMm': '25',
      options: 'spears\r\n\r\nlanterns',
      formats: ['', 'stl'],
      resinMl: '7.5',
      'revision.label': 'first release',
      'revision.supportKinds': ['as supplied', 'own supports'],
      'offer.kind': 'purchase',
      'offer.price.amount': '9,50',
      'offer.price.currency': 'EUR',
      'offer.url': 'https://eel.example/?a=1&b=2',
      'offer.state': 'on sale',
    }

    test('one form adds a file with its unit, revision, supports and offer', async () => {
      const unit = await aUnit(ada)
      const once = 'eel-1'
      const first = await ada.submit('/files/new', { ...typed, unit: unit.name, unitId: '', once })
      expect(first.statusCode).toBe(303)
      const again = await ada.submit('/files/new', { ...typed, unit: unit.name, unitId: '', once })
      expect(again.headers.location).toBe(first.headers.location)
      const file = (await ada.get(`/files/${idIn(first.headers.location)}`)).json()
      expect(file).toMatchObject({
        title: 'Eel Knights',
        standsInFor: [unit.id],
        scaleMm: 28.5,
        options: ['spears', 'lanterns'],
        formats: ['stl'],
        offers: [{ price: { amount: '9.50', currency: 'EUR' } }],
      })
      expect(file.revisions[0].supportSets).toHaveLength(2)
      const shown = (await ben.page(String(first.headers.location))).body
      expect(shown).toContain('The file is added.')
      expect(shown).toContain('by Page Sculptor')
      expect(shown).toContain('€9.50')
      expect(shown).toContain('href="https://eel.example/?a=1&amp;b=2" rel="noopener noreferrer nofollow external"')
      expect(shown).toContain('7.5 ml a copy')
      expect(shown).toContain('Uncured resin')
    })

    test('a file without a unit, revision or offer is fine; idle fields of the form make none', async () => {
      const idle = {
        'offer.kind': '',
        'offer.price.amount': '',
        'offer.price.currency': 'EUR',
        'offer.state': 'on sale',
      }
      const answer = await ada.submit('/files/new', {
        title: 'Idle',
        'sculptor.name': 'Page Sculptor',
        unit: '',
        ...idle,
      })
      const { id, revisions, offers } = (await ada.get(`/files/${idIn(answer.headers.location)}`)).json()
      expect([revisions, offers]).toEqual([[], []])
      expect((await ada.page(`/files/${id}`)).body).toContain('not known; 10 ml a copy are assumed')
    })

    test('a refused form keeps what was typed and says the reason at the field', async () => {
      const bad = {
        ...typed,
        title: '',
        heightMm: 'tall',
        'offer.url': 'javascript:alert(1)',
        'sculptor.credit': 'unnamed',
      }
      const answer = await ada.submit('/files/new', bad)
      expect(answer.statusCode).toBe(422)
      for (const kept of [
        'value="tall"',
        'value="Page Sculptor"',
        'value="9,50"',
        'value="28,5"',
        'value="javascript:alert(1)"',
      ])
        expect(answer.body).toContain(kept)
      expect(answer.body).toMatch(/id="form-title-error".*?Please fill this in/s)
      expect(answer.body).toMatch(/id="form-offer-url-error".*?A link that starts with http/s)
      expect(answer.body).toMatch(/value="unnamed"[^>]*checked|checked[^>]*value="unnamed"/)
      expect((await ada.page('/sculptors?q=page')).body).toContain('Page Sculptor')
    })

    test('a file that is here already is refused in the form, and its new sculptor’s half of it not kept', async () => {
      await aFile(ada, { title: 'Here Already', sculptor: { name: 'Page Sculptor' } })
      const twin = {
        title: 'Here Already',
        'sculptor.name': 'Page Sculptor',
        'sculptor.credit': 'unnamed',
        once: 'twin-1',
      }
      const answer = await ada.submit('/files/new', twin)
      expect(answer.statusCode).toBe(422)
      expect(answer.body).toContain('A file of this title is here already.')
      expect((await ada.page('/sculptors?q=page')).body).toContain('Page Sculptor')
    })

    test('a unit typed nearly right is asked about, chosen without script, and not lost', async () => {
      const unit = await aUnit(ada, { name: 'Gloam Striders' })
      await aUnit(ada, { name: 'Gloam Riders' })
      const form = {
        title: 'Long Legs',
        'sculptor.name': 'Page Sculptor',
        unit: 'gloam ridrs',
        unitId: '',
        unitMadeFor: '',
      }
      const asked = await ada.submit('/files/new', form)
      expect(asked.statusCode).toBe(422)
      expect(asked.body).toContain('Which of these do you mean?')
      expect(asked.body).toContain(`value="${unit.id}"`)
      const chosen = await ada.submit('/files/new', { ...form, unitId: unit.id, unitMadeFor: 'gloam ridrs' })
      expect((await ada.get(`/files/${idIn(chosen.headers.location)}`)).json().standsInFor).toEqual([unit.id])
    })

    test('an id left from an earlier text is not taken for the unit that is typed now', async () => {
      const stale = await aUnit(ada, { name: 'Stale Unit' })
      const form = {
        title: 'Fresh Text',
        'sculptor.name': 'Page Sculptor',
        unitId: stale.id,
        unitMadeFor: 'Stale Unit',
      }
      const fresh = await aUnit(ada, { name: 'Quite Another' })
      const answer = await ada.submit('/files/new', { ...form, unit: 'quite another' })
      expect((await ada.get(`/files/${idIn(answer.headers.location)}`)).json().standsInFor).toEqual([fresh.id])
      const unknown = await ada.submit('/files/new', { ...form, title: 'No Such', unit: 'zzyzx' })
      expect(unknown.statusCode).toBe(422)
      expect(unknown.body).toContain('The group knows no such unit.')
    })

    test('is prefilled for a unit and for a request, and leads back to the request', async () => {
      const unit = await aUnit(ada)
      expect((await ada.page(`/files/new?unitId=${unit.id}`)).body).toContain(`value="${unit.name}"`)
      expect((await ada.page('/files/new?unitId=nonsense&title=Half%20known')).body).toContain('value="Half known"')
      const asked = (await ada.post('/requests', { unitId: unit.id, wanted: 5 })).json()
      const blank = (await ben.page(`/files/new?requestId=${asked.id}`)).body
      expect(blank).toContain(`value="${unit.name}"`)
      expect(blank).toContain(`name="requestId" value="${asked.id}"`)
      const fields = { title: 'For The Request', 'sculptor.name': 'Page Sculptor', unit: unit.name, unitId: unit.id }
      const answer = await ben.submit('/files/new', { ...fields, unitMadeFor: unit.name, requestId: asked.id })
      expect(answer.headers.location).toMatch(
        new RegExp(`^/requests/${asked.id}/propose\\?fileId=[0-9a-f-]{36}&said=file-added$`),
      )
      const evil = await ben.submit('/files/new', { ...fields, title: 'Elsewhere', requestId: '//evil.example/x' })
      expect(evil.headers.location).toMatch(/^\/files\//)
    })

    test('is changed by its author: facts cleared, units kept or dropped', async () => {
      const [one, two] = [await aUnit(ada), await aUnit(ada)]
      const { id } = await aFile(ada, {
        standsInFor: [one.id],
        heightMm: 40,
        licence: 'any',
        options: ['a'],
        formats: ['stl'],
      })
      const form = (await ada.page(`/files/${id}/edit`)).body
      expect(form).toContain('value="40"')
      expect(form).toContain('name="version" value="1"')
      const change = {
        title: 'Renamed',
        heightMm: '',
        licence: '',
        options: '',
        formats: '',
        standsInFor: '',
        version: '1',
      }
      const answer = await ada.submit(`/files/${id}/edit`, { ...change, unit: two.name, unitId: '' })
      expect(answer.headers.location).toBe(`/files/${id}?said=saved`)
      expect((await ada.get(`/files/${id}`)).json()).toMatchObject({
        title: 'Renamed',
        heightMm: null,
        licence: '',
        options: [],
        formats: [],
        standsInFor: [two.id],
        resinMl: 9.5,
      })
      const late = await ada.submit(`/files/${id}/edit`, { title: 'Too late', version: '1' })
      expect(late.statusCode).toBe(422)
      expect(late.body).toContain('Somebody changed this after you opened it')
      expect(late.body).toContain('value="Too late"')
      expect((await ben.submit(`/files/${id}/edit`, { title: 'Not mine', version: '2' })).statusCode).toBe(403)
      expect((await ben.page(`/files/${id}`)).body).not.toContain(`/files/${id}/edit`)
    })

    test('shows how it prints, and the latest reports', async () => {
      const { fileId, supportSetId } = await aPrintable(ada, { title: 'Well Printed' })
      const guess = (await ben.get(`/files/${fileId}`)).json().printSuccess
      expect(guess).toMatchObject([{ kind: 'as supplied', supportSetId, copies: 0, cantTell: false }])
      await aReport(ada, { supportSetId, tried: 6, failures: [{ seen: 'supports snapped', copies: 2 }] })
      const [line] = (await ben.get(`/files/${fileId}`)).json().printSuccess
      expect(line.copies).toBeGreaterThan(2)
      expect(line.low).toBeLessThan(line.mean)
      expect(line.high).toBeGreaterThan(line.mean)
      const shown = (await ben.page(`/files/${fileId}`)).body
      expect(shown).toContain('4 of 6 good')
      expect(shown).toContain('supports snapped (2)')
      expect(shown).toMatch(/\d copies: between \d+ and \d+ of 100 come out good/)
    })

    test('what members wrote is shown as text, never as markup', async () => {
      const hostile = '<script>alert(1)</script>"\'><img src=x onerror=alert(2)>'
      const { id } = await aFile(ada, {
        title: hostile,
        sculptor: { name: hostile },
        options: [hostile],
        styleTags: [hostile],
        licence: hostile,
        remark: hostile,
        revision: { label: hostile.slice(0, 70) },
        offer: { kind: 'free', title: hostile, url: 'https://x.example/"><script>alert(3)</script>' },
      })
      for (const url of [`/files/${id}`, `/files/${id}/edit`, '/files', '/sculptors', `/files/${id}/offers/new`]) {
        const { body, statusCode } = await ada.page(url)
        expect(statusCode).toBe(200)
        expect(body).not.toMatch(/<script>|<img|"><script/)
      }
      expect((await ben.page(`/files/${id}`)).body).toContain('&lt;script>alert(1)')
      const sent = await ada.submit('/files/new', { title: hostile, 'sculptor.name': hostile, unit: hostile })
      expect(sent.statusCode).toBe(422)
      expect(sent.body).not.toMatch(/<script>|<img/)
    })

    test('are looked up and suggested, for members', async () => {
      await aFile(ada, { title: 'Quagmire Bells', sculptor: { name: 'Quinta Rue' } })
      expect((await ben.page('/files?q=quagmire%20bels')).body).toContain('Quagmire Bells')
      const [found] = (await ben.page('/files/suggest?q=quagmire')).json().items
      expect(found).toMatchObject({ label: 'Quagmire Bells', note: 'by Quinta Rue' })
      expect((await ben.page('/sculptors/suggest?q=quinta')).json().items[0]).toMatchObject({ label: 'Quinta Rue' })
      expect((await ben.page('/files?q=zzyzx')).body).toContain('No file is called anything like “zzyzx”.')
      expect((await ben.page(`/files/${ada.id}`)).statusCode).toBe(404)
      for (const url of ['/files', '/files/new', `/files/${ada.id}`, '/sculptors'])
        expect((await outsider(app).page(url)).headers.location).toContain('/sign-in?next=')
    })

    test('a steward changes a sculptor’s wish by page; members may not', async () => {
      await aFile(ada, { title: 'Hush Walkers', sculptor: { name: 'Hush Hush' } })
      const { id, version } = (await odile.get('/sculptors?q=hush')).json().items[0]
      expect((await ada.page(`/sculptors/${id}/edit`)).statusCode).toBe(403)
      expect((await odile.page(`/sculptors/${id}/edit`)).body).toContain('value="Hush Hush"')
      const change = { name: 'Hush Hush', credit: 'unnamed', version: String(version) }
      expect((await ada.submit(`/sculptors/${id}/edit`, change)).statusCode).toBe(403)
      expect((await odile.submit(`/sculptors/${id}/edit`, change)).headers.location).toBe('/sculptors?said=saved')
      expect((await ada.page('/sculptors')).body).not.toContain('Hush Hush')
      expect((await odile.page('/sculptors')).body).toContain('asked not to be named')
      expect((await odile.submit(`/sculptors/${id}/edit`, { ...change, name: '' })).statusCode).toBe(422)
    })
  })

  describe('sculptors', () => {
    test('are named to members and renamed by stewards alone', async () => {
      await aFile(ada, { sculptor: { name: 'Holm Brack' } })
      const sculptor = (await ben.get('/sculptors?q=holm')).json().items[0]
      const path = `/sculptors/${sculptor.id}`
      const any = { headers: { 'if-match': '*' } }
      expect((await ada.patch(path, { name: 'Holm Bracke' }, any)).statusCode).toBe(403)
      expect((await odile.patch(path, { name: 'Holm Bracke' })).statusCode).toBe(428)
      const headers = { 'if-match': String((await odile.get(path)).headers.etag) }
      expect((await odile.patch(path, { name: 'Holm Bracke' }, { headers })).json().name).toBe('Holm Bracke')
      expect((await odile.patch(path, { credit: 'unnamed' }, { headers })).statusCode).toBe(412)
      await aFile(ada, { sculptor: { name: 'Other Name' } })
      expect((await odile.patch(path, { name: 'OTHER name' }, any)).statusCode).toBe(409)
      expect((await odile.patch(`/sculptors/${ada.id}`, { name: 'X' }, any)).statusCode).toBe(404)
      expect((await odile.patch(path, { credit: 'secret' }, any)).statusCode).toBe(422)
    })

    test('are listed by name, every one once', async () => {
      const seen: string[] = []
      let url = '/sculptors?limit=3'
      while (url) {
        const answer = await ben.get(url)
        seen.push(...answer.json().items.map((one: { name: string }) => one.name))
        url = /^<\/api\/v1(.*)>; rel="next"$/.exec(String(answer.headers.link ?? ''))?.[1] ?? ''
      }
      expect(seen.length).toBe(new Set(seen).size)
      expect(seen.length).toBe((await ben.get('/sculptors?limit=100')).json().items.length)
    })

    test('the wish not to be named counts at once; only a steward takes it back', async () => {
      await aFile(ada, { title: 'Kelp Riders', sculptor: { name: 'Gunda Fell' } })
      const before = (await ben.get('/sculptors?q=gunda%20fell')).json().items[0]
      const again = await ben.post('/files', {
        title: 'Kelp Chief',
        sculptor: { name: 'gunda fell', credit: 'unnamed' },
      })
      expect(again.json().sculptor).toEqual({ id: null, name: null, credit: 'unnamed' })
      expect((await ben.get(`/sculptors/${before.id}`)).statusCode).toBe(404)
      await ada.post('/files', { title: 'Kelp Steed', sculptor: { name: 'Gunda Fell', credit: 'named' } })
      expect((await ben.get('/sculptors?q=gunda%20fell')).json().items).toEqual([])
      await odile.post('/files', { title: 'Kelp Standard', sculptor: { name: 'Gunda Fell', credit: 'named' } })
      expect((await odile.get(`/sculptors/${before.id}`)).json().credit).toBe('unnamed')
      const any = { headers: { 'if-match': '*' } }
      await odile.patch(`/sculptors/${before.id}`, { credit: 'named' }, any)
      expect((await ben.get(`/sculptors/${before.id}`)).json()).toMatchObject({ credit: 'named', files: 4 })
    })
  })
})
