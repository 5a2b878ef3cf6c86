import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { makeSetupCode } from '../../../server/features/people/group/queries.ts'
import type { App } from '../../../server/http/route.ts'
import { outsider, owner, password, startApp } from '../../support/app.ts'

describe('setting the group up', () => {
  let app: App
  let close: () => Promise<void>
  beforeAll(async () => ({ app, close } = await startApp()))
  afterAll(() => close())

  test('an empty installation leads a browser to its set-up', async () => {
    const home = await outsider(app).page('/')
    expect(home.statusCode).toBe(303)
    const door = await outsider(app).page(String(home.headers.location))
    expect(door.headers.location).toBe('/setup')
    expect((await outsider(app).page('/setup')).body).toContain('Set up the group')
  })

  test('a refused form comes back with what was typed and the reason', async () => {
    const answer = await outsider(app).submit('/setup', {
      groupName: 'Table <9>',
      currency: 'EUR',
      'owner.name': 'Odile',
      'owner.email': 'nowhere',
      'owner.password': 'short',
    })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain('value="Table &lt;9>"')
    expect(answer.body).toContain('does not look like an e-mail address')
    expect(answer.body).toContain('At least 10 characters')
    expect(answer.body).not.toContain('short"')
  })

  test('happens once', async () => {
    const odile = await owner(app)
    expect((await odile.get('/openapi.json')).json().openapi).toBe('3.1.0')
    const again = await outsider(app).post('/setup', {
      groupName: 'Another',
      currency: 'EUR',
      owner: { name: 'Nemo', email: 'nemo@group.example', password },
    })
    expect(again.statusCode).toBe(409)
    expect(again.headers['content-type']).toContain('application/problem+json')
  })
})

const newGroup = (name: string, setupCode?: string) => ({
  groupName: `The ${name} table`,
  currency: 'EUR',
  owner: { name, email: `${name.toLowerCase()}@group.example`, password },
  ...(setupCode !== undefined && { setupCode }),
})

describe('setting up at the same moment', () => {
  test('one of two becomes the owner', async () => {
    const { app, close } = await startApp()
    const bodies = [newGroup('Odile'), newGroup('Olaf')]
    const answers = await Promise.all(bodies.map((body) => outsider(app).post('/setup', body)))
    expect(answers.map((one) => one.statusCode).sort()).toEqual([201, 409])
    const won = answers.find((one) => one.statusCode === 201)
    const cookie = `${won?.cookies[0]?.name}=${won?.cookies[0]?.value}`
    const me = await outsider(app).get('/me', { headers: { cookie } })
    expect(me.json()).toMatchObject({ id: won?.json().memberId, role: 'owner' })
    expect((await outsider(app).get('/members', { headers: { cookie } })).json().items).toHaveLength(1)
    await close()
  })
})

describe('setting up where others get in', () => {
  let setupCode: string
  let app: App
  let close: () => Promise<void>
  let now = new Date()
  beforeAll(async () => {
    const started = await startApp({ asksSetupCode: true, now: () => now })
    ;({ app, close } = started)
    setupCode = await makeSetupCode(started.db)
  })
  afterAll(() => close())

  test('wants the code that the log printed, by REST and by page', async () => {
    for (const given of [undefined, '', 'a-code-from-the-dog', setupCode.slice(1), `${setupCode}x`]) {
      const answer = await outsider(app).post('/setup', newGroup('Mallory', given))
      expect(answer.statusCode, given).toBe(422)
      expect(answer.json().errors[0].path).toBe('/setupCode')
      expect(answer.body).not.toContain(setupCode)
    }
    const form = await outsider(app).page('/setup')
    expect(form.body).toContain('name="setupCode"')
    expect(form.body).not.toContain(setupCode)
    const refused = await outsider(app).submit('/setup', {
      groupName: 'Ours',
      currency: 'EUR',
      'owner.name': 'Mallory',
      'owner.email': 'mallory@group.example',
      'owner.password': password,
      setupCode: 'a guess',
    })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('This is not the code')
    expect(refused.body).toContain('value="Mallory"')
  })

  test('guesses are limited, then the code lets its reader in', async () => {
    const statuses: number[] = []
    for (let turn = 0; turn < 12; turn++)
      statuses.push((await outsider(app).post('/setup', newGroup('Mallory', 'a guess'))).statusCode)
    expect(statuses).toContain(429)
    const full = await outsider(app).post('/setup', newGroup('Odile', setupCode))
    expect(full.statusCode).toBe(429)
    expect(Number(full.headers['retry-after'])).toBeGreaterThan(0)
    now = new Date(now.getTime() + 16 * 60_000)
    expect((await outsider(app).post('/setup', newGroup('Odile', setupCode))).statusCode).toBe(201)
  })
})

test('each process that starts has a code of its own, of which the database keeps no more than a hash', async () => {
  const { app, db, close } = await startApp({ asksSetupCode: true })
  const codes = [await makeSetupCode(db), await makeSetupCode(db)]
  // 128 bits, six to a character.
  for (const code of codes) expect(code).toMatch(/^[\w-]{22,}$/)
  expect(new Set(codes).size).toBe(2)
  const kept = JSON.stringify(await db.selectFrom('setupCode').selectAll().execute())
  for (const code of codes) expect(kept).not.toContain(code)
  const [first = ''] = JSON.parse(kept).map(({ codeHash }: { codeHash: string }) => codeHash)
  expect((await outsider(app).post('/setup', newGroup('Mallory', first))).statusCode).toBe(422)
  expect((await outsider(app).post('/setup', newGroup('Odile', codes[0]))).statusCode).toBe(201)
  expect(await db.selectFrom('setupCode').selectAll().execute()).toEqual([])
  await close()
})

describe('bad input at set-up', () => {
  test('is named at its field, and nothing is set up', async () => {
    const { app, close } = await startApp()
    const good = newGroup('Odile')
    const cases: [object, string][] = [
      [{ ...good, groupName: ' ' }, '/groupName'],
      [{ ...good, groupName: 'x'.repeat(10_000) }, '/groupName'],
      [{ ...good, currency: 'XAU' }, '/currency'],
      [{ ...good, currency: 'eur' }, '/currency'],
      [{ ...good, owner: { ...good.owner, password: 'short' } }, '/owner/password'],
      [{ ...good, owner: { ...good.owner, password: 'odile odile' } }, '/owner/password'],
      [{ ...good, owner: { ...good.owner, email: 'nowhere' } }, '/owner/email'],
      [{ ...good, isDemo: true }, '/isDemo'],
    ]
    for (const [body, path] of cases) {
      const answer = await outsider(app).post('/setup', { ...body })
      expect(answer.statusCode, path).toBe(422)
      expect(answer.json().errors[0].path).toBe(path)
    }
    expect((await outsider(app).page('/setup')).statusCode).toBe(200)
    await close()
  })
})
