import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, startApp } from '../../support/app.ts'
import { aFile, aRevision, aSnag } from '../../support/catalogue.ts'

describe('snags', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  let ada: Person
  let ben: Person
  let fileId: string
  let first: string
  let second: string
  let elsewhere: string
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    odile = await owner(app)
    ada = await member(odile, 'Ada')
    ben = await member(odile, 'Ben')
    fileId = (await aFile(ada)).id
    first = (await aRevision(ada, fileId, { releasedOn: '2025-01-01' })).id
    second = (await aRevision(ada, fileId, { releasedOn: '2025-06-01' })).id
    elsewhere = (await aRevision(ada, (await aFile(ada)).id, { releasedOn: '2025-12-01' })).id
  })
  afterAll(() => close())

  const add = (over: Record<string, unknown>) =>
    ada.post(`/files/${fileId}/snags`, {
      revisionId: first,
      kind: 'unsupported part',
      severity: 'stops the print',
      part: 'left arm',
      ...over,
    })

  test('is kept as it was given', async () => {
    const made = await add({ severity: 'costs time', minutes: 15, detail: 'Cut it off and glue it.\nOr prop it up.' })
    expect(made.statusCode).toBe(201)
    expect(made.json()).toMatchObject({
      fileId,
      revisionId: first,
      kind: 'unsupported part',
      severity: 'costs time',
      part: 'left arm',
      minutes: 15,
      detail: 'Cut it off and glue it.\nOr prop it up.',
      state: 'open',
      mendedInRevisionId: null,
      createdBy: { id: ada.id, name: 'Ada' },
    })
    expect((await ben.get(`/snags/${made.json().id}`)).json()).toEqual(made.json())
  })

  test('what stands in the way comes first, what is mended last', async () => {
    const { id } = await aFile(ben)
    const one = (await aRevision(ben, id, { releasedOn: '2025-01-01' })).id
    const two = (await aRevision(ben, id, { releasedOn: '2025-02-01' })).id
    const mended = await aSnag(ben, id, one, { severity: 'stops the print', part: 'mended' })
    await ben.patch(`/snags/${mended.id}`, { state: 'mended', mendedInRevisionId: two })
    await aSnag(ben, id, one, { severity: 'only looks', part: 'looks' })
    await aSnag(ben, id, one, { severity: 'costs time', minutes: 5, part: 'time' })
    await aSnag(ben, id, one, { severity: 'stops the print', part: 'stops the print' })
    const parts = (await ada.get(`/files/${id}`)).json().snags.map((snag: { part: string }) => snag.part)
    expect(parts).toEqual(['stops the print', 'time', 'looks', 'mended'])
  })

  test.each([
    ['/minutes', { severity: 'costs time' }],
    ['/minutes', { severity: 'costs time', minutes: 0 }],
    ['/minutes', { severity: 'costs time', minutes: 1.5 }],
    ['/minutes', { severity: 'stops the print', minutes: 5 }],
    ['/kind', { kind: 'ugly' }],
    ['/severity', { severity: 'awful' }],
    ['/part', { part: 'x'.repeat(10_000) }],
    ['/detail', { detail: 'x'.repeat(10_000) }],
    ['/revisionId', { revisionId: undefined }],
    ['/revisionId', { revisionId: 'no id' }],
    ['/state', { state: 'mended' }],
  ])('refuses at %s: %j', async (path, over) => {
    const answer = await add(over)
    expect(answer.statusCode).toBe(422)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
  })

  test('belongs to a revision of its own file', async () => {
    expect((await add({ revisionId: elsewhere })).json().errors[0].path).toBe('/revisionId')
  })

  test('is mended in a later revision of the same file, and can be open again', async () => {
    const { id } = (await add({})).json()
    const change = (body: Record<string, unknown>) => ada.patch(`/snags/${id}`, body)
    expect((await change({ state: 'the sculptor knows' })).json().state).toBe('the sculptor knows')
    for (const mendedInRevisionId of [undefined, null, first, elsewhere, ada.id])
      expect((await change({ state: 'mended', mendedInRevisionId })).json().errors[0].path).toBe('/mendedInRevisionId')
    expect((await change({ mendedInRevisionId: second })).statusCode).toBe(422)
    const mended = (await change({ state: 'mended', mendedInRevisionId: second })).json()
    expect(mended).toMatchObject({ state: 'mended', mendedInRevisionId: second })
    expect((await change({ detail: 'Thicker supports now.' })).json().mendedInRevisionId).toBe(second)
    expect((await change({ state: 'open' })).json()).toMatchObject({ state: 'open', mendedInRevisionId: null })
  })

  test('the minutes follow the severity', async () => {
    const { id } = (await add({ severity: 'costs time', minutes: 20 })).json()
    expect((await ada.patch(`/snags/${id}`, { severity: 'only looks' })).json().minutes).toBeNull()
    expect((await ada.patch(`/snags/${id}`, { severity: 'costs time' })).json().errors[0].path).toBe('/minutes')
    expect((await ada.patch(`/snags/${id}`, { severity: 'costs time', minutes: 5 })).json().minutes).toBe(5)
  })

  test('is changed by its author or, with If-Match, by a steward', async () => {
    const { id } = (await add({})).json()
    const any = { headers: { 'if-match': '*' } }
    expect((await ben.patch(`/snags/${id}`, { part: 'x' }, any)).statusCode).toBe(403)
    expect((await odile.patch(`/snags/${id}`, { part: 'x' })).statusCode).toBe(428)
    const headers = { 'if-match': String((await odile.get(`/snags/${id}`)).headers.etag) }
    expect((await odile.patch(`/snags/${id}`, { part: 'right arm' }, { headers })).json().part).toBe('right arm')
    expect((await ada.patch(`/snags/${id}`, { part: 'x' }, { headers })).statusCode).toBe(412)
  })

  test('hangs on what exists, and is for members', async () => {
    const snag = { revisionId: first, kind: 'broken mesh', severity: 'stops the print' }
    expect((await ada.post(`/files/${ada.id}/snags`, snag)).statusCode).toBe(404)
    expect((await ada.get(`/snags/${ada.id}`)).statusCode).toBe(404)
    expect((await ada.patch(`/snags/${ada.id}`, { part: 'x' })).statusCode).toBe(404)
    const nobody = outsider(app)
    expect((await nobody.post(`/files/${fileId}/snags`, snag)).statusCode).toBe(401)
    expect((await nobody.get(`/snags/${ada.id}`)).statusCode).toBe(401)
    expect((await nobody.patch(`/snags/${ada.id}`, {})).statusCode).toBe(401)
  })

  describe('pages', () => {
    test('a snag is written down, shown with what to do, and mended in words', async () => {
      const { id } = await aFile(ada, { title: 'Toad Callers' })
      expect((await ada.page(`/files/${id}/snags/new`)).body).toContain('Add a revision first')
      const one = (await aRevision(ada, id, { label: 'one', releasedOn: '2025-01-01' })).id
      const two = (await aRevision(ada, id, { label: 'two', releasedOn: '2025-02-01' })).id
      const typed = {
        revisionId: one,
        kind: 'too light supports',
        severity: 'costs time',
        minutes: '10',
        part: 'horn',
        detail: 'Prop it.\nTwice.',
      }
      const added = await ada.submit(`/files/${id}/snags/new`, typed)
      expect(added.headers.location).toBe(`/files/${id}?said=snag-added#snags`)
      const shown = (await ben.page(`/files/${id}`)).body
      expect(shown).toContain('Costs 10 minutes')
      expect(shown).toContain('Prop it.<br/>Twice.')
      const again = (await ben.page(`/files/${id}/snags/new`)).body
      expect(again).toContain('class="form form-beside"')
      expect(again).toContain(
        'Minutes it costs each print<span class="optional"> (needed if it costs time, otherwise leave it empty)',
      )
      expect(again).toMatch(/too light supports, horn <small>costs 10 minutes; open/)
      const [snag] = (await ada.get(`/files/${id}`)).json().snags
      expect(shown).not.toContain(`/snags/${snag.id}/edit`)
      const path = `/snags/${snag.id}/edit`
      const form = (await ada.page(path)).body
      expect(form).toContain('No other snag of it is known.')
      expect(form).toContain(`value="${two}"`)
      expect(form).not.toContain(`value="${one}"`)
      const mended = { ...typed, revisionId: undefined, state: 'mended', mendedInRevisionId: '', version: '1' }
      const { revisionId, ...change } = mended
      const refused = await ada.submit(path, change)
      expect(refused.statusCode).toBe(422)
      expect(refused.body).toContain('In which revision is it mended?')
      expect(refused.body).toContain('value="horn"')
      expect((await ada.submit(path, { ...change, mendedInRevisionId: two })).statusCode).toBe(303)
      expect((await ben.page(`/files/${id}`)).body).toContain('mended in revision two')
      expect((await ben.submit(path, { ...change, mendedInRevisionId: two, version: '2' })).statusCode).toBe(403)
      expect((await odile.submit(path, { ...change, state: 'open', version: '2' })).statusCode).toBe(303)
    })

    test('a refused form keeps what was typed', async () => {
      const path = `/files/${fileId}/snags/new`
      const refused = await ada.submit(path, {
        revisionId: first,
        kind: 'broken mesh',
        severity: 'stops the print',
        minutes: 'many',
        part: 'cloak',
      })
      expect(refused.statusCode).toBe(422)
      expect(refused.body).toContain('Enter a whole number, 1 or more.')
      expect(refused.body).toContain('value="many"')
      expect(refused.body).toContain('value="cloak"')
      expect((await ada.page(`/snags/${ada.id}/edit`)).statusCode).toBe(404)
      expect((await outsider(app).page(path)).headers.location).toContain('/sign-in')
    })
  })
})
