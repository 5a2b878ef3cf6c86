import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { outsider } from '../../support/app.ts'
import { aFile, aUnit } from '../../support/catalogue.ts'
import { aRoster, type Group, type MadeEntry, startGroup } from '../../support/rosters.ts'

describe('rosters', () => {
  let { app, close, odile, ada, ben } = {} as Group
  let wardens: { id: string }
  beforeAll(async () => {
    ;({ app, close, odile, ada, ben } = await startGroup())
    const box = { amount: '38.00', currency: 'EUR' }
    wardens = await aUnit(ada, {
      name: 'Fen Wardens',
      aliases: ['the Reed Watch'],
      modelsPerUnit: 10,
      retailPrice: box,
    })
    await aUnit(ada, { name: 'Tide Clerks', setting: 'Ebb' })
    await aUnit(ada, { name: 'Tide Clerks', setting: 'Kiln' })
    await aUnit(ada, { name: 'Crackle Hounds', modelsPerUnit: 6 })
    await aUnit(ada, { name: 'Æther Éclaireurs' })
  })
  afterAll(() => close())

  const units = (entries: MadeEntry[]) => entries.map(({ unit, models }) => [unit?.name ?? null, models])
  const where = (answer: { json(): { errors?: { path: string; message: string }[] } }) => answer.json().errors?.[0]

  test('is made from a pasted list, matched by name, alias and typing error', async () => {
    const text = '12 x Fen Wardens\nreed watch, 5\nfen wardns\nCrackel Hounds x6\naether eclaireurs\nPeat Colossus'
    const { entries } = await aRoster(ada, { text })
    expect(units(entries)).toEqual([
      ['Fen Wardens', 12],
      ['Fen Wardens', 5],
      ['Fen Wardens', 10],
      ['Crackle Hounds', 6],
      ['Æther Éclaireurs', 1],
      [null, 1],
    ])
    expect(entries[2]?.words).toBe('fen wardns')
    expect(entries[5]?.nearest).toEqual([])
  })

  test('a number at the end is how many, unless a unit is called so', async () => {
    await aUnit(ada, { name: 'Sluice 4', modelsPerUnit: 3 })
    const { entries } = await aRoster(ada, { text: 'Crackle Hounds 12\nsluice 4' })
    expect(units(entries)).toEqual([
      ['Crackle Hounds', 12],
      ['Sluice 4', 3],
    ])
  })

  test('asks which one is meant, and is told', async () => {
    const { id, entries } = await aRoster(ada, { text: 'Tide Clerks, 3' })
    expect(units(entries)).toEqual([[null, 3]])
    expect(entries[0]?.nearest.map(({ name }) => name)).toEqual(['Tide Clerks', 'Tide Clerks'])
    const unitId = entries[0]?.nearest[1]?.id ?? ''
    const told = await ada.patch(`/rosters/${id}/entries/${entries[0]?.id}`, { unitId })
    expect(told.json()).toMatchObject({ unit: { id: unitId }, words: 'Tide Clerks', nearest: [] })
    expect(told.headers.etag).toBe('"2"')
  })

  test('counts whole boxes, of the unit or at a price of its own', async () => {
    await odile.put('/settings/rates/GBP', { worth: 1.2 })
    const text = 'unit,models,price,currency\nFen Wardens,12,,\nFen Wardens,12,30,GBP\nPeat Colossus,2,,'
    const roster = await aRoster(ada, { text })
    const read = (await ada.get(`/rosters/${roster.id}`)).json()
    // 12 models in boxes of 10 are 2 boxes: 2 x 38.00; 2 x 30.00 GBP at 1.2.
    expect(read.entries.map((entry: { retail: unknown }) => entry.retail)).toEqual([
      { amount: '76.00', currency: 'EUR' },
      { amount: '72.00', currency: 'EUR' },
      null,
    ])
    expect(read).toMatchObject({ models: 26, retail: { amount: '148.00', currency: 'EUR' } })
    const [, second] = roster.entries
    const whole = { retailPer: 'entry', retailPrice: { amount: '50.00', currency: 'EUR' } }
    const changed = await ada.patch(`/rosters/${roster.id}/entries/${second?.id}`, whole)
    expect(changed.json().retail).toEqual({ amount: '50.00', currency: 'EUR' })
  })

  test('grows and shrinks by hand; a change of entries is a new version', async () => {
    const { id, version } = await aRoster(ada)
    const added = await ada.post(`/rosters/${id}/entries`, { unitId: wardens.id, models: 7 })
    expect(added.statusCode).toBe(201)
    expect(added.headers).toMatchObject({ etag: `"${version + 1}"`, location: `/api/v1/rosters/${id}` })
    const [entry] = added.json().items
    expect(entry).toMatchObject({ models: 7, words: 'Fen Wardens', unit: { id: wardens.id }, standIns: 0 })
    const more = await ada.post(`/rosters/${id}/entries`, { text: 'crackle hounds\n2 x Fen Wardens' })
    expect(units(more.json().items)).toEqual([
      ['Crackle Hounds', 6],
      ['Fen Wardens', 2],
    ])
    await aFile(ada, { standsInFor: [wardens.id] })
    const changed = await ada.patch(`/rosters/${id}/entries/${entry.id}`, { models: 9 })
    expect(changed.json()).toMatchObject({ models: 9, standIns: 1 })
    expect((await ada.delete(`/rosters/${id}/entries/${entry.id}`)).statusCode).toBe(204)
    expect((await ada.delete(`/rosters/${id}/entries/${entry.id}`)).statusCode).toBe(404)
    expect(units((await ada.get(`/rosters/${id}`)).json().entries)).toEqual([
      ['Crackle Hounds', 6],
      ['Fen Wardens', 2],
    ])
    const stale = await ada.patch(`/rosters/${id}`, { name: 'Spring muster' }, { headers: { 'if-match': '"1"' } })
    expect(stale.statusCode).toBe(412)
    expect((await ada.patch(`/rosters/${id}`, { name: 'Spring muster' })).json().name).toBe('Spring muster')
    expect((await ada.delete(`/rosters/${id}`)).statusCode).toBe(204)
    expect((await ada.get(`/rosters/${id}`)).statusCode).toBe(404)
  })

  test('is its owner’s alone until they share it, and so is every copy', async () => {
    const { id } = await aRoster(ada, { name: 'Under the bed' })
    const reads = async () => [
      (await ben.get(`/rosters/${id}`)).statusCode,
      (await ben.post(`/rosters/${id}/copy`)).statusCode,
      (await ben.page(`/rosters/${id}`)).statusCode,
    ]
    expect(await reads()).toEqual([404, 404, 404])
    const copies = [
      (await ada.post(`/rosters/${id}/copy`)).json().id,
      String((await ada.submit(`/rosters/${id}/copy`, {})).headers.location).split(/[/?]/)[2],
    ]
    for (const copy of copies) {
      expect((await ada.get(`/rosters/${copy}`)).json().shared).toBe(false)
      expect((await odile.get(`/rosters/${copy}`)).statusCode).toBe(404)
    }
    expect((await ben.get('/rosters')).body).not.toContain('Under the bed')
    expect((await ben.page('/rosters')).body).not.toContain('Under the bed')
    await ada.patch(`/rosters/${id}`, { shared: true })
    expect(await reads()).toEqual([200, 201, 200])
    const copied = (await ben.post(`/rosters/${id}/copy`)).json()
    expect(copied.shared).toBe(false)
    expect((await ada.get(`/rosters/${copied.id}`)).statusCode).toBe(404)
  })

  test('is called a copy by whole characters where its name is long', async () => {
    const { id } = await aRoster(ada, { name: `${'N'.repeat(109)}🦑 north`, text: '1 x Fen Wardens' })
    expect((await ada.post(`/rosters/${id}/copy`)).json().name).toBe(`${'N'.repeat(109)} (copy)`)
  })

  test('is read and copied by others while it is shared, and changed by its owner alone', async () => {
    const text = '5 x Fen Wardens\n3 x Tide Clerks'
    const { id, entries } = await aRoster(ada, { name: 'North bank', text, shared: true })
    expect((await ben.get(`/rosters/${id}`)).statusCode).toBe(200)
    for (const person of [ben, odile]) {
      expect(
        (await person.patch(`/rosters/${id}`, { name: 'Mine' }, { headers: { 'if-match': '*' } })).statusCode,
      ).toBe(403)
      expect((await person.post(`/rosters/${id}/entries`, { text: '1 x Fen Wardens' })).statusCode).toBe(403)
      expect((await person.patch(`/rosters/${id}/entries/${entries[0]?.id}`, { models: 1 })).statusCode).toBe(403)
      expect((await person.delete(`/rosters/${id}/entries/${entries[0]?.id}`)).statusCode).toBe(403)
      expect((await person.delete(`/rosters/${id}`)).statusCode).toBe(403)
    }
    const copied = await ben.post(`/rosters/${id}/copy`)
    expect(copied.statusCode).toBe(201)
    expect(copied.json()).toMatchObject({ name: 'North bank (copy)', owner: { id: ben.id } })
    expect(units(copied.json().entries)).toEqual(units(entries))
    expect((await ben.post(`/rosters/${id}/copy`, { name: 'South bank' })).json().name).toBe('South bank')

    await ada.patch(`/rosters/${id}`, { shared: false })
    for (const person of [ben, odile]) {
      expect((await person.get(`/rosters/${id}`)).statusCode).toBe(404)
      expect((await person.post(`/rosters/${id}/copy`)).statusCode).toBe(404)
      expect((await person.post(`/rosters/${id}/entries`, { text: '1 x Fen Wardens' })).statusCode).toBe(404)
    }
    const seen = (await ben.get(`/rosters?memberId=${ada.id}`)).json().items
    expect(seen.map((one: { id: string }) => one.id)).not.toContain(id)
    const own = (await ada.get(`/rosters?memberId=${ada.id}`)).json().items
    expect(own.find((one: { id: string }) => one.id === id)).toMatchObject({ entries: 2, models: 8, shared: false })
  })

  test('an entry of one roster is not reached through another', async () => {
    const mine = await aRoster(ben)
    const { entries } = await aRoster(ada, { text: '5 x Fen Wardens' })
    const path = `/rosters/${mine.id}/entries/${entries[0]?.id}`
    expect((await ben.patch(path, { models: 1 })).statusCode).toBe(404)
    expect((await ben.delete(path)).statusCode).toBe(404)
  })

  test.each([
    ['/words', { models: 3 }],
    ['/words', { text: '6 x Fen Wardens', words: 'Fen Wardens' }],
    ['/text', { text: '6 x Fen Wardens', models: 3 }],
    ['/models', { words: 'Fen Wardens', models: 0 }],
    ['/models', { words: 'Fen Wardens', models: 10_000 }],
    ['/models', { words: 'Fen Wardens', models: 2.5 }],
    ['/unitId', { unitId: '01890000-0000-7000-8000-000000000000', models: 3 }],
    ['/retailPrice/currency', { words: 'Fen Wardens', retailPrice: { amount: '3', currency: 'CHF' } }],
    ['/text', { text: '0 x Fen Wardens' }],
    ['/text', { text: 'unit,models,price,currency\nFen Wardens,6,38,CHF' }],
    ['/points', { words: 'Fen Wardens', points: 120 }],
  ])('refuses at %s: %j', async (path, body) => {
    const { id } = await aRoster(ada)
    const answer = await ada.post(`/rosters/${id}/entries`, body)
    expect(answer.statusCode).toBe(422)
    expect(where(answer)?.path).toBe(path)
    expect((await ada.get(`/rosters/${id}`)).json().entries).toEqual([])
  })

  test('says which lines cannot be kept, and keeps none of them', async () => {
    const refused = await ada.post('/rosters', {
      name: 'Long',
      text: '6 x Fen Wardens\n0 x Tide Clerks\n10000 x Hounds',
    })
    expect(refused.statusCode).toBe(422)
    expect(where(refused)?.message).toMatch(/Line 2: This says 0 models.*Line 3: At most 1000/)
  })

  test('500 lines go in at once; 20,000 are refused with the limit', async () => {
    const names = Array.from({ length: 300 }, (_, index) => nameOf(index))
    for (const name of names) await aUnit(odile, { name })
    const text = Array.from({ length: 500 }, (_, index) => `${1 + (index % 9)} x ${mistyped(names[index % 300] ?? '')}`)
    const answer = await ada.post('/rosters', { name: 'All of it', text: text.join('\n') })
    expect(answer.statusCode).toBe(201)
    const { entries } = answer.json<{ entries: MadeEntry[] }>()
    expect(entries).toHaveLength(500)
    expect(entries.filter(({ unit, nearest }) => unit || nearest.length > 0)).toHaveLength(500)

    const tooMany = await ada.post('/rosters', {
      name: 'Too long',
      text: '6 x Fen Wardens of the long dyke\n'.repeat(20_000),
    })
    expect(tooMany.statusCode).toBe(422)
    expect(where(tooMany)).toEqual({ path: '/text', message: expect.stringContaining('at most 500 entries') })
    const { id } = answer.json()
    const beyond = await ada.post(`/rosters/${id}/entries`, { text: '1 x Fen Wardens' })
    expect(where(beyond)?.message).toContain('it has 500, and this is 1 more')
  })

  test('asks the group for what nobody knows, in one step', async () => {
    const text = '3 x Peat Colossus\n2 x peat colossus\n4 x Rust Choir\n5 x Fen Wardens'
    const { id, entries } = await aRoster(ada, { text, shared: true })
    const entryIds = entries.map((entry) => entry.id)
    const answer = await ada.post(`/rosters/${id}/requests`, { entryIds, setting: 'Ebb', scaleMm: 28 })
    expect(answer.statusCode).toBe(201)
    const { items } = answer.json<{ items: { unit: { name: string }; wanted: number; id: string }[] }>()
    expect(items.map(({ unit, wanted }) => [unit.name, wanted])).toEqual([
      ['Peat Colossus', 5],
      ['Rust Choir', 4],
      ['Fen Wardens', 5],
    ])
    expect(units((await ada.get(`/rosters/${id}`)).json().entries)[1]).toEqual(['Peat Colossus', 2])
    // Asked again, nobody is bothered twice.
    const again = await ada.post(`/rosters/${id}/requests`, { entryIds })
    expect(again.json().items.map((one: { id: string }) => one.id)).toEqual(items.map((one) => one.id))
    expect((await ben.post(`/rosters/${id}/requests`, { entryIds })).statusCode).toBe(403)
    const other = await aRoster(ben)
    expect(where(await ben.post(`/rosters/${other.id}/requests`, { entryIds }))?.path).toBe('/entryIds')
  })

  test('is for members', async () => {
    const { id } = await aRoster(ada)
    const nobody = outsider(app)
    expect((await nobody.get('/rosters')).statusCode).toBe(401)
    expect((await nobody.get(`/rosters/${id}`)).statusCode).toBe(401)
    expect((await nobody.post('/rosters', { name: 'x' })).statusCode).toBe(401)
    expect((await ada.post('/rosters', { name: '' })).statusCode).toBe(422)
    expect((await ada.get('/rosters/nonsense')).statusCode).toBe(404)
  })
})

const syllables = ['mar', 'bel', 'tor', 'quin', 'has', 'dun', 'vey', 'lor', 'pex', 'gri', 'stol', 'wyn']
const syllable = (index: number) => syllables[Math.floor(index) % 12]
/** A name of two words, another one for each of the first 1,728. */
const nameOf = (index: number) =>
  `${syllable(index)}${syllable(index / 12)} ${syllable(index / 144)}${syllable(index * 7 + 3)}s`
/** The second letter is left out. */
const mistyped = (name: string) => name.slice(0, 1) + name.slice(2)
