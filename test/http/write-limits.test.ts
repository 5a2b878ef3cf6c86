import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { ConfigError, readConfig, usualWriteLimits } from '../../server/config.ts'
import { outsider, type Person, password } from '../support/app.ts'
import { fieldsOf } from '../support/forms.ts'
import { type Group, startGroup } from '../support/rosters.ts'

const limits = { perMinute: 4, perDay: 10 }

describe('the changes of a member', () => {
  let { app, db, close, ada, ben } = {} as Group
  let clock: Date
  const later = (seconds: number) => {
    clock = new Date(clock.getTime() + seconds * 1000)
  }
  beforeAll(async () => {
    clock = new Date('2026-03-01T12:00:00Z')
    ;({ app, db, close, ada, ben } = await startGroup({ writeLimits: limits, now: () => clock }))
  })
  afterAll(() => close())
  beforeEach(async () => {
    later(90_000)
    await db.deleteFrom('attempt').execute()
  })

  let count = 0
  const add = (person: Person) => person.post('/units', { name: `Fen Wardens ${++count}`, scaleMm: 28 })

  async function statuses(times: number, person: Person) {
    const found: number[] = []
    for (let turn = 0; turn < times; turn++) found.push((await add(person)).statusCode)
    return found
  }

  test('are so many a minute, then refused with when to try again, and taken again after it', async () => {
    expect(await statuses(4, ada)).toEqual([201, 201, 201, 201])
    later(20)
    const refused = await add(ada)
    expect([refused.statusCode, refused.headers['retry-after']]).toEqual([429, '40'])
    expect(refused.headers['content-type']).toContain('application/problem+json')
    expect(refused.json().detail).toBe(
      'You have sent more than 4 changes within a minute. Please send this again in 40 seconds.',
    )
    later(40)
    expect((await add(ada)).statusCode).toBe(201)
  })

  test('are so many a day', async () => {
    expect(await statuses(4, ada)).toEqual([201, 201, 201, 201])
    later(60)
    expect(await statuses(4, ada)).toEqual([201, 201, 201, 201])
    later(60)
    expect(await statuses(3, ada)).toEqual([201, 201, 429])
    later(60)
    const refused = await add(ada)
    expect(Number(refused.headers['retry-after'])).toBe(86_400 - 180)
    later(86_400 - 180)
    expect((await add(ada)).statusCode).toBe(201)
  })

  test('are each member’s own, by pages and REST together, refused ones counted', async () => {
    await ada.submit('/units/new', { name: '', scaleMm: '28' })
    await ada.post('/units', {})
    await ada.patch('/me', { defaultCrowding: 'packed' })
    await ada.delete(`/archive/${ada.id}`)
    expect((await add(ada)).statusCode).toBe(429)
    expect((await ada.put(`/archive/${ada.id}`)).statusCode).toBe(429)
    expect((await add(ben)).statusCode).toBe(201)
  })

  test('leave reading, signing out and signing in alone', async () => {
    const signIn = () => outsider(app).post('/sessions', { email: 'ben@group.example', password })
    const again = await signIn()
    const [cookie] = again.cookies
    const other = Object.assign(outsider(app), { cookie: `${cookie?.name}=${cookie?.value}` })
    expect(await statuses(5, ben)).toEqual([201, 201, 201, 201, 429])
    expect((await other.get('/units')).statusCode).toBe(200)
    expect((await other.page('/')).statusCode).toBe(200)
    expect((await other.delete('/sessions/current')).statusCode).toBe(204)
    expect((await signIn()).statusCode).toBe(201)
  })

  test('come back with what was typed on a page, to be sent again', async () => {
    await statuses(4, ada)
    const typed = { name: 'Reed “Pikes” & "co"', scaleMm: '28', modelsPerUnit: '1', aliases: 'one\r\ntwo' }
    const refused = await ada.submit('/units/new', typed)
    expect([refused.statusCode, refused.headers['retry-after']]).toEqual([429, '60'])
    expect(refused.body).toContain('You have sent more than 4 changes within a minute.')
    const fields = fieldsOf(refused.body, '/units/new')
    expect(fields).toEqual(typed)
    later(60)
    expect((await ada.submit('/units/new', fields)).statusCode).toBe(303)
    expect((await ada.get('/units?q=reed')).json().items[0]).toMatchObject({
      name: 'Reed “Pikes” & "co"',
      aliases: ['one', 'two'],
    })
  })

  test('write no password into a page', async () => {
    await statuses(4, ada)
    const refused = await ada.submit('/me/password', {
      'password.old': password,
      'password.new': 'some new words here',
    })
    expect(refused.statusCode).toBe(429)
    expect(refused.body).not.toContain(password)
    expect(refused.body).not.toContain('some new words')
  })

  test('are told in the documentation of the API', async () => {
    expect((await ada.page('/api')).body).toContain('at most 4 changes a minute and 10 a day')
  })
})

describe('how many changes a member may send', () => {
  test('is set by the environment', () => {
    expect(readConfig({}).writeLimits).toEqual(usualWriteLimits)
    const given = { WRITES_PER_MINUTE: '30', WRITES_PER_DAY: '900' }
    expect(readConfig(given).writeLimits).toEqual({ perMinute: 30, perDay: 900 })
  })

  test.each([
    ['WRITES_PER_MINUTE', '0'],
    ['WRITES_PER_MINUTE', 'many'],
    ['WRITES_PER_DAY', '-1'],
    ['WRITES_PER_DAY', '1.5'],
  ])('%s can’t be %s', (variable, value) => {
    expect(() => readConfig({ [variable]: value })).toThrow(ConfigError)
    expect(() => readConfig({ [variable]: value })).toThrow(variable)
  })
})
