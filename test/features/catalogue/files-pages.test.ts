import { afterAll, describe, expect, test } from 'vitest'
import { outsider, startGroup } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrintable, aReport } from '../../support/printing.ts'

const { app, db, odile, ada, ben, close } = await startGroup()
afterAll(close)

describe('the pages of files', () => {
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
    expect((await ada.page(`/files/${id}`)).body).toContain('not known; 10 ml a copy is assumed')
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
    expect(answer.body).toContain('There is already a file with this title.')
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
    // Nobody has chosen yet.
    expect(asked.body).not.toMatch(/name="unitId"[^>]*checked/)
    const chosen = await ada.submit('/files/new', { ...form, unitId: unit.id, unitMadeFor: 'gloam ridrs' })
    expect((await ada.get(`/files/${idIn(chosen.headers.location)}`)).json().standsInFor).toEqual([unit.id])
  })

  test('a unit is found by its other name as well', async () => {
    const unit = await aUnit(ada, { name: 'Brine Sentries', aliases: ['Salt Watch'] })
    const form = { title: 'Old Salts', 'sculptor.name': 'Page Sculptor', unit: 'salt watch' }
    const added = await ada.submit('/files/new', form)
    expect((await ada.get(`/files/${idIn(added.headers.location)}`)).json().standsInFor).toEqual([unit.id])
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

  test('is prefilled for a unit', async () => {
    const unit = await aUnit(ada)
    expect((await ada.page(`/files/new?unitId=${unit.id}`)).body).toContain(`value="${unit.name}"`)
    expect((await ada.page('/files/new?unitId=nonsense&title=Half%20known')).body).toContain('value="Half known"')
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
    expect(guess).toMatchObject([{ kind: 'as supplied', supportSetId, copies: 0, basis: 'nothing', cantTell: false }])
    expect((await ben.page(`/files/${fileId}`)).body).toContain(
      'Nobody here has printed anything yet. Usually about 7 of 10 come out good on a printer in good order, the file alone ',
    )
    await aReport(ada, { supportSetId, tried: 6, failures: [{ seen: 'supports snapped', copies: 2 }] })
    await refitHere(db)
    const [line] = (await ben.get(`/files/${fileId}`)).json().printSuccess
    expect(line.copies).toBeGreaterThan(2)
    expect(line.low).toBeLessThan(line.mean)
    expect(line.high).toBeGreaterThan(line.mean)
    expect(line.comesOut.mean).toBeLessThan(line.mean)
    const shown = (await ben.page(`/files/${fileId}`)).body
    expect(shown).toContain('4 of 6 good')
    expect(shown).toContain('supports snapped (2)')
    expect(shown).toMatch(
      /About \d of 10 come out good on a printer in good order; the file alone \d+-\d+ of 100 \(counts as \d copies\)\./,
    )
    const bare = await aFile(ada)
    const other = (await ben.get(`/files/${bare.id}`)).json().printSuccess
    expect(other).toMatchObject([{ copies: 0, basis: 'group' }])
    expect((await ben.page(`/files/${bare.id}`)).body).toContain('going by what the group prints')
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
