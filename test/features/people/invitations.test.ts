import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, password, startApp } from '../../support/app.ts'

const day = 86_400_000
const codeOf = (url: string) => new URL(url).pathname.split('/').at(-1) ?? ''
const who = (name: string) => ({ name, email: `${name.toLowerCase()}@group.example`, password })

describe('invitations', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let stella: Person
  let ada: Person
  let now = new Date()
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => now }))
    odile = await owner(app)
    stella = await member(odile, 'Stella', 'steward')
    ada = await member(odile, 'Ada')
  })
  afterAll(() => close())
  beforeEach(() => db.deleteFrom('attempt').execute())

  const make = async (body = {}) => (await stella.post('/invitations', body)).json()
  const accept = (code: string, name: string) => outsider(app).post(`/invitations/${code}/accept`, who(name))

  test('are made, listed and withdrawn by stewards (ASVS 8.2.1)', async () => {
    const made = await make({ uses: 3, expiresInDays: 2 })
    expect(made).toMatchObject({ role: 'member', usesLeft: 3, createdBy: { id: stella.id, name: 'Stella' } })
    const listed = (await odile.get('/invitations')).json().items
    expect(listed.map((one: { id: string }) => one.id)).toContain(made.id)
    expect(JSON.stringify(listed)).not.toContain(codeOf(made.url))
    expect((await odile.delete(`/invitations/${made.id}`)).statusCode).toBe(204)
    expect((await odile.delete(`/invitations/${made.id}`)).statusCode).toBe(404)
    expect((await accept(codeOf(made.url), 'Late')).statusCode).toBe(404)
    for (const answer of [
      await ada.post('/invitations', {}),
      await ada.get('/invitations'),
      await ada.delete(`/invitations/${made.id}`),
    ])
      expect(answer.statusCode).toBe(403)
    expect((await outsider(app).post('/invitations', {})).statusCode).toBe(401)
  })

  test('are told apart by whom they are for, which stewards alone read', async () => {
    const made = await make({ note: ' Rufus from the club ', uses: 2 })
    expect(made.note).toBe('Rufus from the club')
    expect((await make()).note).toBe('')
    const form = { uses: '1', expiresInDays: '7', note: 'the two <b>Ottos</b>' }
    await stella.submit('/members/invitations', form)
    const listed = (await odile.get('/invitations')).json().items
    expect(listed[0]).toMatchObject({ note: form.note, role: 'member', usesLeft: 1, createdBy: { name: 'Stella' } })
    const page = (await odile.page('/members')).body
    expect(page).toMatch(/Rufus from the club.*member.*2 more.*Stella/s)
    expect(page).toContain('the two &lt;b>Ottos&lt;/b>')
    expect((await outsider(app).page(new URL(made.url).pathname)).body).not.toContain('Rufus')
    expect((await ada.page('/members')).body).not.toContain('Rufus')
    const refused = await stella.submit('/members/invitations', { ...form, uses: '0', note: 'kept' })
    expect(refused.body).toContain('value="kept"')
    expect((await stella.post('/invitations', { note: 'x'.repeat(121) })).statusCode).toBe(422)
  })

  test('are told apart by when they were made where they are for nobody in particular', async () => {
    const start = now
    const made = [30, 63].map((minutes) => new Date(start.getTime() + minutes * 60_000).toISOString())
    for (const at of made) {
      now = new Date(at)
      expect((await make()).createdAt).toBe(at)
    }
    const page = (await odile.page('/members')).body
    now = start
    for (const at of made) {
      const [, words] = page.match(new RegExp(`made by Stella on <time datetime="${at}">([^<]*)</time>`)) ?? []
      expect(words).toMatch(new RegExp(`^\\d+ \\w+ \\d{4} at ${at.slice(11, 16)}$`))
      expect(page).toContain(`aria-label="Withdraw the invitation as member by Stella, made on ${words}"`)
    }
  })

  test('pages through the open ones', async () => {
    await make()
    await make()
    const first = (await odile.get('/invitations?limit=1')).json()
    const second = (await odile.get(`/invitations?limit=1&after=${first.next}`)).json()
    expect(first.items[0].id > second.items[0].id).toBe(true)
    expect((await odile.get('/invitations?after=nonsense')).statusCode).toBe(422)
  })

  test('a steward invites no steward: roles are the owner’s to give', async () => {
    expect((await stella.post('/invitations', { role: 'steward' })).statusCode).toBe(403)
    expect((await odile.post('/invitations', { role: 'steward' })).statusCode).toBe(201)
    expect((await odile.post('/invitations', { role: 'owner' })).statusCode).toBe(422)
    expect(
      (await stella.submit('/members/invitations', { role: 'steward', uses: '1', expiresInDays: '7' })).statusCode,
    ).toBe(403)
  })

  test('refuses numbers beyond its limits', async () => {
    for (const body of [
      { uses: 0 },
      { uses: 51 },
      { uses: 1.5 },
      { expiresInDays: 91 },
      { expiresInDays: '7' },
      { use: 1 },
    ])
      expect((await stella.post('/invitations', body)).statusCode, JSON.stringify(body)).toBe(422)
  })

  test('the code is random, kept as a hash, and nowhere in an answer that is kept (ASVS 6.4.1)', async () => {
    const headers = { 'idempotency-key': 'invite-1' }
    const made = await stella.post('/invitations', { uses: 2 }, { headers })
    const code = codeOf(made.json().url)
    expect(code).toMatch(/^[\w-]{24}$/)
    const again = await stella.post('/invitations', { uses: 2 }, { headers })
    expect(again.statusCode).toBe(409)
    expect(again.body).not.toContain(code)
    for (const table of ['invitation', 'answeredPost'] as const)
      expect(JSON.stringify(await db.selectFrom(table).selectAll().execute())).not.toContain(code)
  })

  test('end after their time', async () => {
    const { url } = await make({ expiresInDays: 1 })
    const before = now
    now = new Date(now.getTime() + day + 1000)
    expect((await accept(codeOf(url), 'Late')).statusCode).toBe(404)
    expect((await outsider(app).page(new URL(url).pathname)).statusCode).toBe(404)
    now = before
  })

  test('the last use goes to one of two at once', async () => {
    const code = codeOf((await make({ uses: 1 })).url)
    const answers = await Promise.all([accept(code, 'Emil'), accept(code, 'Fay')])
    expect(answers.map((one) => one.statusCode).sort()).toEqual([201, 404])
    const names = (await ada.get('/members')).json().items.map((one: { name: string }) => one.name)
    expect(names.filter((name: string) => ['Emil', 'Fay'].includes(name))).toHaveLength(1)
  })

  test('a refused use is not used up', async () => {
    const code = codeOf((await make({ uses: 1 })).url)
    const taken = await outsider(app).post(`/invitations/${code}/accept`, {
      ...who('Adaline'),
      email: 'ADA@Group.Example',
    })
    expect(taken.statusCode).toBe(422)
    expect(taken.json().errors[0].path).toBe('/email')
    expect((await accept(code, 'Gus')).statusCode).toBe(201)
  })

  test('two with one address at once: one of them joins', async () => {
    const code = codeOf((await make({ uses: 5 })).url)
    const answers = await Promise.all([accept(code, 'Hanna'), accept(code, 'Hanna')])
    expect(answers.map((one) => one.statusCode).sort()).toEqual([201, 422])
  })

  test('passwords: long enough, of any kind, and none that many have had (ASVS 6.2.1, 6.2.4, 6.2.5, 6.2.9, 6.2.11)', async () => {
    const code = codeOf((await make({ uses: 20 })).url)
    let turn = 0
    const join = (word: string) => {
      const name = `Nora${turn++}`
      return outsider(app).post(`/invitations/${code}/accept`, { ...who(name), password: word })
    }
    const bad = [
      'nine char',
      'x'.repeat(201),
      'qwertyuiop',
      'QWERTYUIOP',
      '1234567890',
      'password123',
      'aaaaaaaaaaaa',
      'Understudy 2026',
      'nora group example',
      `lone ${'\ud800'} surrogate`,
    ]
    for (const word of bad) {
      const answer = await join(word)
      expect(answer.statusCode, word).toBe(422)
      expect(answer.json().errors[0].path).toBe('/password')
    }
    for (const word of [
      'only small letters',
      '0293847561029',
      'päßwörter sind ja 好',
      `${'y'.repeat(100)} 1234`,
      'ZZ!?;:__++zz',
    ])
      expect((await join(word)).statusCode, word).toBe(201)
  })

  test('an invalid name is named at its field (ASVS 2.2.1)', async () => {
    const code = codeOf((await make({ uses: 20 })).url)
    for (const name of ['', ' ', 'x'.repeat(81), 'tab\there', 'nul\u0000', '\u202egnp', '\u200b']) {
      const answer = await outsider(app).post(`/invitations/${code}/accept`, { ...who('Nobody'), name })
      expect(answer.statusCode, JSON.stringify(name)).toBe(422)
      expect(answer.json().errors[0].path).toBe('/name')
    }
    for (const email of ['nowhere', 'a@b', 'a b@group.example', `${'x'.repeat(200)}@group.example`, 'a@b.c\u0000'])
      expect(
        (await outsider(app).post(`/invitations/${code}/accept`, { ...who('Nobody'), email })).json().errors[0].path,
      ).toBe('/email')
    const extra = await outsider(app).post(`/invitations/${code}/accept`, { ...who('Nobody'), role: 'owner' })
    expect(extra.json().errors[0].path).toBe('/role')
  })

  test('an unknown code is nothing, however it looks', async () => {
    for (const code of ['x'.repeat(24), 'short', '..%2f..', '%00'.repeat(8)]) {
      expect((await outsider(app).page(`/invitations/${code}`)).statusCode).toBe(404)
      expect((await accept(code, 'Nobody')).statusCode).toBe(404)
    }
  })

  test('the page: joins, signs in, and a refused one says why at the field', async () => {
    const path = new URL((await make({ uses: 2 })).url).pathname
    expect((await outsider(app).page(path)).body).toContain('Stella invites you as a member')
    const refused = await outsider(app).submit(path, { ...who('Ivo'), password: '1234567890' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Many people have used this password')
    expect(refused.body).toContain('value="Ivo"')
    const joined = await outsider(app).submit(path, who('Ivo'))
    expect(joined.headers.location).toBe('/?said=welcome')
    expect(joined.cookies[0]?.name).toBe('understudy_session')
  })

  test('the members’ page shows a new link once; a second press is the same invitation', async () => {
    const form = (await stella.page('/members')).body
    const code = /name="code" value="([\w-]{24})"/.exec(form)?.[1] ?? ''
    expect(form).not.toContain(`/invitations/${code}</textarea>`)
    const fields = { code, uses: '2', expiresInDays: '7' }
    const first = await stella.submit('/members/invitations', fields)
    const second = await stella.submit('/members/invitations', fields)
    for (const { body } of [first, second]) expect(body).toContain(`/invitations/${code}</textarea>`)
    const opened = (await odile.page('/members')).body
    expect(opened).not.toContain(code)
    expect((await outsider(app).page(`/invitations/${code}`)).statusCode).toBe(200)
    expect((await odile.submit('/members/invitations', fields)).statusCode).toBe(404)
    const refused = await stella.submit('/members/invitations', { ...fields, uses: '500' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('At most 50.')
    expect((await ada.submit('/members/invitations', fields)).statusCode).toBe(403)
    expect((await ada.page('/members')).body).not.toContain('Make a link')
  })

  test('are withdrawn by page, and pressing again does no harm', async () => {
    const { id, url } = await make()
    for (let turn = 0; turn < 2; turn++) {
      const answer = await stella.submit(`/members/invitations/${id}/withdraw`, {})
      expect(answer.headers.location).toBe('/members?said=invitation-withdrawn#invite')
    }
    expect((await outsider(app).page(new URL(url).pathname)).statusCode).toBe(404)
    expect((await ada.submit(`/members/invitations/${id}/withdraw`, {})).statusCode).toBe(403)
  })

  test('looking at codes is limited, with Retry-After', async () => {
    const statuses: number[] = []
    for (let turn = 0; turn < 121; turn++)
      statuses.push((await outsider(app).page(`/invitations/${'y'.repeat(24)}`)).statusCode)
    expect(statuses.slice(0, 120).every((status) => status === 404)).toBe(true)
    expect(statuses.at(-1)).toBe(429)
  })
})
