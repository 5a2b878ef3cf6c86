import { createHash } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { aFile, aRevision, aSnag, aSupportSet } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'
import { refitHere } from '../../support/kept.ts'
import { aPrinter, aReport } from '../../support/printing.ts'

describe('revisions and support sets', () => {
  let app: App
  let close: () => Promise<void>
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    // The day is fixed, so that "in the future" means the same whenever this runs.
    ;({ app, close } = await startApp({ now: () => new Date('2026-03-10T12:00:00Z') }))
    const odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
  })
  afterAll(() => close())

  const labels = async (fileId: string) =>
    (await ada.get(`/files/${fileId}`)).json().revisions.map((revision: { label: string }) => revision.label)

  test('stand in order of release, those without a day first, then as they were added', async () => {
    const { id } = await aFile(ada)
    await aRevision(ada, id, { label: 'spring', releasedOn: '2026-03-01' })
    await aRevision(ben, id, { label: 'winter', releasedOn: '2026-01-01' })
    await aRevision(ada, id, { label: 'undated' })
    await aRevision(ada, id, { label: 'undated, later' })
    await aRevision(ada, id, { label: 'winter, later', releasedOn: '2026-01-01' })
    expect(await labels(id)).toEqual(['undated', 'undated, later', 'winter', 'winter, later', 'spring'])
  })

  test('the fingerprint of a download is kept in small letters', async () => {
    const { id } = await aFile(ada)
    const sha256 = createHash('sha256').update('a download').digest('hex')
    const made = await ada.post(`/files/${id}/revisions`, { label: 'hashed', sha256: sha256.toUpperCase() })
    expect(made.json()).toMatchObject({ fileId: id, label: 'hashed', sha256, supportSets: [] })
    expect((await ben.get(`/revisions/${made.json().id}`)).json()).toEqual(made.json())
  })

  test('a label twice and a kind of support twice are conflicts, also at once', async () => {
    const { id } = await aFile(ada)
    const twice = [ada, ben].map((person) => person.post(`/files/${id}/revisions`, { label: 'one' }))
    expect((await Promise.all(twice)).map((answer) => answer.statusCode).sort()).toEqual([201, 409])
    const revision = await aRevision(ada, id, { label: 'two' })
    const path = `/revisions/${revision.id}/support-sets`
    const sets = [ada, ben].map((person) => person.post(path, { kind: 'as supplied', claim: 'prints at 45 degrees' }))
    expect((await Promise.all(sets)).map((answer) => answer.statusCode).sort()).toEqual([201, 409])
    await aSupportSet(ben, revision.id, { kind: 'own supports' })
    const { supportSets } = (await ada.get(`/revisions/${revision.id}`)).json()
    expect(supportSets).toMatchObject([
      { kind: 'as supplied', claim: 'prints at 45 degrees' },
      { kind: 'own supports', claim: '' },
    ])
  })

  test.each([
    ['/label', { label: '' }],
    ['/label', { label: 'x'.repeat(10_000) }],
    ['/releasedOn', { label: 'a', releasedOn: '2026-02-30' }],
    ['/releasedOn', { label: 'a', releasedOn: '2026-03-12' }],
    ['/releasedOn', { label: 'a', releasedOn: 'soon' }],
    ['/sha256', { label: 'a', sha256: 'f'.repeat(63) }],
    ['/sha256', { label: 'a', sha256: 'g'.repeat(64) }],
    ['/files', { label: 'a', files: [] }],
  ])('refuses a revision at %s: %j', async (path, body) => {
    const { id } = await aFile(ada)
    const answer = await ada.post(`/files/${id}/revisions`, body)
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors[0].path).toBe(path)
  })

  test('today where the day comes first is not the future', async () => {
    const { id } = await aFile(ada)
    expect((await ada.post(`/files/${id}/revisions`, { label: 'a', releasedOn: '2026-03-11' })).statusCode).toBe(201)
  })

  test('refuses a kind of support that there is none of, and too long a claim', async () => {
    const { id } = await aRevision(ada, (await aFile(ada)).id)
    const path = `/revisions/${id}/support-sets`
    expect((await ada.post(path, { kind: 'magic' })).json().errors[0].path).toBe('/kind')
    expect((await ada.post(path, { kind: 'own supports', claim: 'x'.repeat(10_000) })).json().errors[0].path).toBe(
      '/claim',
    )
  })

  test('hang on what exists, and are for members', async () => {
    const body = { label: 'a' }
    expect((await ada.post(`/files/${ada.id}/revisions`, body)).statusCode).toBe(404)
    expect((await ada.post('/files/nonsense/revisions', body)).statusCode).toBe(404)
    expect((await ada.post(`/revisions/${ada.id}/support-sets`, { kind: 'own supports' })).statusCode).toBe(404)
    expect((await ada.get(`/revisions/${ada.id}`)).statusCode).toBe(404)
    const nobody = outsider(app)
    expect((await nobody.post(`/files/${ada.id}/revisions`, body)).statusCode).toBe(401)
    expect((await nobody.get(`/revisions/${ada.id}`)).statusCode).toBe(401)
    expect((await nobody.post(`/revisions/${ada.id}/support-sets`, {})).statusCode).toBe(401)
  })

  test('are added by page, and shown on the file’s', async () => {
    const { id } = await aFile(ada, { title: 'Peat Walkers' })
    expect((await ada.page(`/files/${id}`)).body).toContain('No revision is known yet.')
    expect((await ada.page(`/files/${id}/revisions/new`)).statusCode).toBe(200)
    const typed = { label: 'spring', releasedOn: '2026-03-01', supportKinds: ['as supplied'], once: 'peat-1' }
    for (let presses = 0; presses < 2; presses++) {
      const added = await ada.submit(`/files/${id}/revisions/new`, typed)
      expect(added.headers.location).toBe(`/files/${id}?said=revision-added#revisions`)
    }
    const [revision] = (await ada.get(`/files/${id}`)).json().revisions
    const path = `/revisions/${revision.id}/support-sets/new`
    expect((await ben.page(path)).body).toContain('Add supports of Peat Walkers, spring')
    const added = await ben.submit(path, { kind: 'own supports', claim: '' })
    expect(added.headers.location).toBe(`/files/${id}?said=support-set-added#revisions`)
    const shown = (await ben.page(`/files/${id}`)).body
    expect(shown).toContain('1 March 2026')
    expect(shown).toMatch(/<th[^>]*>own supports/)
    expect(shown).toContain('Nobody here has printed anything yet.')
  })

  test('show what was reported on each, by kind of support', async () => {
    const { id } = await aFile(ada)
    const supportKinds = ['as supplied', 'own supports']
    await aRevision(ada, id, { label: 'old', releasedOn: '2026-01-01', supportKinds })
    await aRevision(ada, id, { label: 'new', releasedOn: '2026-02-01', supportKinds: ['as supplied'] })
    const [old] = (await ada.get(`/files/${id}`)).json().revisions
    const printerId = (await aPrinter(ada)).id
    const [supplied, own] = old.supportSets.map((set: { id: string }) => set.id)
    const failures = [{ seen: 'supports snapped', copies: 2 }]
    for (const supportSetId of [supplied, supplied, own]) await aReport(ada, { supportSetId, printerId, failures })
    const shown = (await ben.page(`/files/${id}`)).body.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ')
    expect(shown).toMatch(/ as supplied of new, 1 February 2026 .* as supplied of old, 1 January 2026 /)
    expect(shown).toMatch(/8 of 12 good on 2 plates .* own supports of old, .* 4 of 6 good on one plate /)
  })

  test('a refused form keeps what was typed', async () => {
    const { id } = await aFile(ada)
    const revision = await aRevision(ada, id, { label: 'taken', supportKinds: ['own supports'] })
    const path = `/files/${id}/revisions/new`
    const future = await ada.submit(path, { label: 'later', releasedOn: '2026-04-01', sha256: 'short' })
    expect(future.statusCode).toBe(422)
    expect(future.body).toContain('value="short"')
    expect(future.body).toContain('A SHA-256 has 64 digits')
    const twice = await ada.submit(path, { label: 'taken', once: 'taken-1' })
    expect(twice.statusCode).toBe(422)
    expect(twice.body).toContain('already has a revision with this label')
    const sets = await ada.submit(`/revisions/${revision.id}/support-sets/new`, { kind: 'own supports', claim: 'mine' })
    expect(sets.statusCode).toBe(422)
    expect(sets.body).toContain('>mine</textarea>')
    expect((await ada.page(`/files/${ada.id}/revisions/new`)).statusCode).toBe(404)
    expect((await ada.submit(`/revisions/${ada.id}/support-sets/new`, { kind: 'own supports' })).statusCode).toBe(404)
    expect((await outsider(app).page(path)).headers.location).toContain('/sign-in')
  })
})

describe('a revision that was entered wrongly', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => new Date('2026-03-10T12:00:00Z') }))
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
  })
  afterAll(() => close())

  const ifMatch = (value: string) => ({ headers: { 'if-match': value } })

  test('is corrected by whoever added it, or by a steward', async () => {
    const { id: fileId } = await aFile(ben)
    const { id } = await aRevision(ada, fileId, { label: 'frist', releasedOn: '2026-01-10' })
    const { etag } = (await ada.get(`/revisions/${id}`)).headers
    const sha256 = 'a'.repeat(64)
    const changed = await ada.patch(`/revisions/${id}`, { label: 'first', sha256 })
    expect(changed.json()).toMatchObject({ label: 'first', sha256, releasedOn: '2026-01-10', version: 2 })
    expect(changed.json().createdBy).toEqual({ id: ada.id, name: 'Ada' })
    expect((await ben.patch(`/revisions/${id}`, { label: 'mine' }, ifMatch('*'))).statusCode).toBe(403)
    expect((await odile.patch(`/revisions/${id}`, { label: 'ours' })).statusCode).toBe(428)
    expect((await odile.patch(`/revisions/${id}`, { label: 'ours' }, ifMatch(String(etag)))).statusCode).toBe(412)
    const cleared = { releasedOn: null, sha256: null }
    expect((await odile.patch(`/revisions/${id}`, cleared, ifMatch('"2"'))).json()).toMatchObject(cleared)
    expect((await ada.patch(`/revisions/${ada.id}`, {})).statusCode).toBe(404)
    expect((await outsider(app).patch(`/revisions/${id}`, {})).statusCode).toBe(401)
  })

  test('does not take the label of another, a day to come, or a field that there is none of', async () => {
    const { id: fileId } = await aFile(ada)
    await aRevision(ada, fileId, { label: 'one' })
    const { id } = await aRevision(ada, fileId, { label: 'two' })
    expect((await ada.patch(`/revisions/${id}`, { label: 'one' })).statusCode).toBe(409)
    for (const [path, body] of [
      ['/label', { label: '' }],
      ['/releasedOn', { releasedOn: '2026-03-12' }],
      ['/sha256', { sha256: 'short' }],
      ['/supportKinds', { supportKinds: ['own supports'] }],
    ] as const) {
      const answer = await ada.patch(`/revisions/${id}`, body)
      expect([answer.statusCode, answer.json().errors?.[0]?.path]).toEqual([422, path])
    }
    expect((await ada.get(`/revisions/${id}`)).json()).toMatchObject({ label: 'two', version: 1 })
  })

  test('by its right day it is the newest or not, and the reports count as if it had been entered so', async () => {
    const { id: fileId } = await aFile(ada)
    const supportKinds = ['as supplied']
    await aRevision(ada, fileId, { label: 'old', releasedOn: '2026-01-01', supportKinds })
    const [old] = (await ada.get(`/files/${fileId}`)).json().revisions
    const supportSetId = old.supportSets[0].id
    await aReport(ada, { supportSetId, failures: [{ seen: 'supports snapped', copies: 2 }] })
    const success = async () => {
      await refitHere(db)
      return (await ada.get(`/files/${fileId}`)).json().printSuccess[0]
    }
    const alone = await success()
    const { id } = await aRevision(ada, fileId, { label: 'new', releasedOn: '2026-02-01', supportKinds })
    const overtaken = await success()
    expect(overtaken.copies).toBeLessThan(alone.copies)
    expect((await ada.patch(`/revisions/${id}`, { releasedOn: '2025-12-01' })).statusCode).toBe(200)
    expect((await success()).copies).toBeCloseTo(alone.copies, 6)
    expect((await ada.patch(`/revisions/${id}`, { releasedOn: '2026-02-01' })).statusCode).toBe(200)
    expect((await success()).copies).toBeCloseTo(overtaken.copies, 6)
  })

  test('does not come before the revision in which a snag that it mends was found', async () => {
    const { id: fileId } = await aFile(ada)
    const first = await aRevision(ada, fileId, { label: 'first', releasedOn: '2026-01-01' })
    const { id } = await aRevision(ada, fileId, { label: 'second', releasedOn: '2026-02-01' })
    const snag = await aSnag(ada, fileId, first.id, { kind: 'broken mesh' })
    await ada.patch(`/snags/${snag.id}`, { state: 'mended', mendedInRevisionId: id })
    const refused = await ada.patch(`/revisions/${id}`, { releasedOn: '2025-12-01' })
    expect(refused.statusCode).toBe(422)
    expect(refused.json().errors[0]).toMatchObject({
      path: '/releasedOn',
      message: expect.stringContaining('broken mesh'),
    })
    expect((await ada.get(`/revisions/${id}`)).json().releasedOn).toBe('2026-02-01')
  })

  test('has a form, from the page of its file', async () => {
    const { id: fileId } = await aFile(ben, { title: 'Peat Striders' })
    const { id } = await aRevision(ada, fileId, { label: 'srping', releasedOn: '2026-03-01', sha256: 'b'.repeat(64) })
    const path = `/revisions/${id}/edit`
    expect((await ada.page(`/files/${fileId}`)).body).toContain(`href="${path}"`)
    expect((await ben.page(`/files/${fileId}`)).body).not.toContain(`href="${path}"`)
    expect((await ben.page(path)).statusCode).toBe(403)
    const shown = fieldsOf((await ada.page(path)).body, path)
    expect(shown).toMatchObject({ label: 'srping', releasedOn: '2026-03-01', version: '1' })
    expect((await ada.submit(path, { ...shown, label: '' })).body).toContain('Please fill this in.')
    const refused = await ada.submit(path, { ...shown, releasedOn: '2026-04-01' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('This day is in the future.')
    expect(refused.body).toContain('value="2026-04-01"')
    const saved = await ada.submit(path, { ...shown, label: 'spring', sha256: '' })
    expect(saved.headers.location).toBe(`/files/${fileId}?said=revision-changed#revisions`)
    expect((await ada.get(`/revisions/${id}`)).json()).toMatchObject({
      label: 'spring',
      releasedOn: '2026-03-01',
      sha256: null,
      version: 2,
    })
    expect((await outsider(app).page(path)).headers.location).toContain('/sign-in')
  })
})
