import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { placeOf } from '../../../server/http/attempts.ts'
import type { App } from '../../../server/http/route.ts'
import { member, outsider, owner, type Person, password, startApp } from '../../support/app.ts'

const day = 86_400_000
const ada = { email: 'ada@group.example', password }

describe('tries at signing in', () => {
  let app: App
  let db: Db
  let close: () => Promise<void>
  let odile: Person
  let now = new Date()
  beforeAll(async () => {
    ;({ app, db, close } = await startApp({ now: () => now, trustProxy: true }))
    odile = await owner(app)
    await member(odile, 'Ada')
  })
  afterAll(() => close())
  beforeEach(() => db.deleteFrom('attempt').execute())

  const signIn = (body: object = ada, headers: Record<string, string> = {}) =>
    outsider(app).post('/sessions', { ...body }, { headers })

  test('tries are limited by account and place, with Retry-After, and open again (ASVS 6.3.1)', async () => {
    const from = (host: number) => ({ 'x-forwarded-for': `203.0.113.${host}` })
    const wrong = { ...ada, password: 'not her password' }
    for (let turn = 0; turn < 10; turn++) expect((await signIn(wrong, from(1))).statusCode).toBe(401)
    const full = await signIn(ada, from(1))
    expect(full.statusCode).toBe(429)
    expect(Number(full.headers['retry-after'])).toBeGreaterThan(0)
    expect(Number(full.headers['retry-after'])).toBeLessThanOrEqual(900)
    // Nobody locks Ada out by guessing from elsewhere.
    expect((await signIn(ada, from(2))).statusCode).toBe(201)
    const page = await app.inject({
      method: 'POST',
      url: '/sign-in',
      headers: { ...from(1), 'content-type': 'application/x-www-form-urlencoded' },
      payload: new URLSearchParams(ada).toString(),
    })
    expect(page.statusCode).toBe(422)
    expect(page.body).toContain('Too many tries')
    now = new Date(now.getTime() + 16 * 60_000)
    expect((await signIn(ada, from(1))).statusCode).toBe(201)
  })

  describe('of wrong tries', () => {
    const from = (host: number) => ({ 'x-forwarded-for': `203.0.113.${host}` })
    const wrong = { ...ada, password: 'not her password' }
    const wrongly = async (times: number, headers: Record<string, string>) => {
      const answers: number[] = []
      for (let turn = 0; turn < times; turn++) answers.push((await signIn(wrong, headers)).statusCode)
      return answers
    }

    test('at one account an account has so many from everywhere, and then one from each new place', async () => {
      for (const host of [1, 2, 3]) expect(await wrongly(10, from(host))).toEqual(Array(10).fill(401))
      expect(await wrongly(3, from(4))).toEqual([401, 429, 429])
      // What was refused unread is not held against anybody when the window is over.
      now = new Date(now.getTime() + 16 * 60_000)
      expect(await wrongly(11, from(4))).toEqual([...Array(10).fill(401), 429])
    })

    test('nobody is locked out by those of others from other places', async () => {
      for (const host of [11, 12, 13]) await wrongly(11, from(host))
      expect((await signIn(ada, from(14))).statusCode).toBe(201)
      expect((await signIn(ada, from(11))).statusCode).toBe(429)
    })

    test('a right one clears those at the account, from everywhere and from its place', async () => {
      for (const host of [21, 22, 23]) await wrongly(9, from(host))
      expect((await signIn(ada, from(21))).statusCode).toBe(201)
      expect(await wrongly(10, from(21))).toEqual(Array(10).fill(401))
      // The other places keep their own: 9 of 10.
      expect(await wrongly(2, from(22))).toEqual([401, 429])
    })

    test('a right one clears nothing of those at others from the same place', async () => {
      for (let turn = 0; turn < 60; turn++) {
        const guess = { email: `b${turn}@group.example`, password: 'x'.repeat(10) }
        expect((await signIn(guess, from(31))).statusCode).toBe(401)
        if (turn % 20 === 19 && turn < 59) expect((await signIn(ada, from(31))).statusCode).toBe(201)
      }
      expect((await signIn(ada, from(31))).statusCode).toBe(429)
    })

    test('right ones are none, however many come from one place', async () => {
      for (let turn = 0; turn < 62; turn++) expect((await signIn(ada, from(41))).statusCode).toBe(201)
    })

    test('many at the same moment don’t get past the limits', async () => {
      const answers = await Promise.all(Array.from({ length: 25 }, () => signIn(wrong, from(51))))
      expect(answers.filter(({ statusCode }) => statusCode === 401)).toHaveLength(10)
    })

    test('those counted while a clock was years ahead count no more once it is right', async () => {
      const right = now
      now = new Date(right.getTime() + 3 * 365 * day)
      await wrongly(11, from(61))
      now = right
      expect((await signIn(ada, from(61))).statusCode).toBe(201)
      expect(await wrongly(11, from(61))).toEqual([...Array(10).fill(401), 429])
    })

    test('a window that another process’ clock opened some seconds ahead stays, and the wait is never longer than it', async () => {
      const right = now
      now = new Date(right.getTime() + 20_000)
      await wrongly(10, from(71))
      now = right
      const full = await signIn(ada, from(71))
      expect([full.statusCode, Number(full.headers['retry-after'])]).toEqual([429, 900])
    })
  })

  test('tries from one place at many accounts are limited; writing X-Forwarded-For oneself does not help (ASVS 4.1.3)', async () => {
    const answers: number[] = []
    for (let turn = 0; turn < 61; turn++) {
      const forged = { 'x-forwarded-for': `192.0.2.${turn}, 203.0.113.77` }
      answers.push((await signIn({ email: `a${turn}@group.example`, password: 'x'.repeat(10) }, forged)).statusCode)
    }
    expect(answers.filter((status) => status === 401)).toHaveLength(60)
    expect(answers.at(-1)).toBe(429)
  })

  test('an Idempotency-Key does not take counted tries back', async () => {
    const headers = { cookie: String(odile.cookie), 'idempotency-key': 'guess' }
    const wrong = { ...ada, password: 'not her password' }
    for (let turn = 0; turn < 10; turn++) await signIn(wrong, headers)
    expect((await signIn(wrong, headers)).statusCode).toBe(429)
  })

  test('a limit of tries keeps no address that anybody typed', async () => {
    await signIn({ email: 'private@elsewhere.example', password: 'x'.repeat(10) })
    expect(JSON.stringify(await db.selectFrom('attempt').selectAll().execute())).not.toContain('elsewhere')
    now = new Date(now.getTime() + 2 * day)
    await signIn()
    expect(
      await db
        .selectFrom('attempt')
        .select('key')
        .where('windowStart', '<', new Date(now.getTime() - day))
        .execute(),
    ).toEqual([])
  })

  test('IPv6 hosts count by their /64', () => {
    expect(placeOf('2001:db8:1:2:aaaa::1')).toBe(placeOf('2001:db8:1:2:ffff:1:2:3'))
    expect(placeOf('2001:db8:1:3::1')).not.toBe(placeOf('2001:db8:1:2::1'))
    expect(placeOf('2001:db8::1')).toBe('2001:db8:0:0::/64')
    expect(placeOf('::1')).toBe('0:0:0:0::/64')
    expect(placeOf('::ffff:192.0.2.7')).toBe('192.0.2.7')
    expect(placeOf('::FFFF:c000:207')).toBe('192.0.2.7')
    expect(placeOf('fe80::1%eth0')).toBe('fe80:0:0:0::/64')
    expect(placeOf('nowhere')).toBe('nowhere')
    // With a port, as some proxies write it.
    expect(placeOf('192.0.2.7:50123')).toBe('192.0.2.7')
    expect(placeOf('[2001:db8:1:2::7]:50123')).toBe('2001:db8:1:2::/64')
    expect(placeOf('[2001:db8:1:2::7]')).toBe('2001:db8:1:2::/64')
  })
})
