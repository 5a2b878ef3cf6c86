import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { weakness } from '../../../server/features/people/members/weakness.ts'
import { member, outsider, owner, type Person, password, startApp } from '../../support/app.ts'

const ilse = { name: 'Ilse Brandt', email: 'i.brandt77@mailhouse.example', groupName: 'The Thursday table' }
const why = (word: string, around = ilse) =>
  /This is little more than (.+), which attackers try first/.exec(weakness(word, around) ?? '')?.[1]

describe('a password that is little more than', () => {
  test.each([
    ['ilsebrandt2026', 'your name'],
    ['Brandt-Ilse!!', 'your name'],
    ['1l5e.Br4ndt', 'your name'],
    ['tdnarb esli', 'your name'],
    ['ILSÉ brändt 1', 'your name'],
    ['xBrandtBrandt', 'your name'],
    ['brandt77 brandt77', 'your e-mail address'],
    ['mailhouse12345', 'your e-mail address'],
    ['i.brandt77@mailhouse.example', 'your e-mail address'],
    ['TheThursdayTable', 'the name of the group'],
    ['thursday-9182736450', 'the name of the group'],
    ['7hur5d4y 74bl3', 'the name of the group'],
    ['understudy-2026-07', 'the name of this service'],
    ['p4ssw0rd-p4ssw0rd', 'the word “password”'],
  ])('a name is refused and told so: %s', (word, what) => {
    expect(why(word)).toBe(what)
  })

  test.each([
    'ilse likes wet boats',
    'seven thursday boats',
    'four unrelated words',
    '0293847561029',
    'brandt: copper lantern',
    'пять сухих лодок',
  ])('a name and no less than that is taken: %s', (word) => {
    expect(weakness(word, ilse)).toBeUndefined()
  })

  test('a name of two letters stands in the way of nothing, nor does one without letters', () => {
    for (const name of ['Al', '—', '77'])
      expect(weakness('always calm metal', { name, email: 'x@y.example', groupName: '!' })).toBeUndefined()
  })
})

describe('every way to a password refuses such a one at its field, and says why', () => {
  let started: Awaited<ReturnType<typeof startApp>>
  let odile: Person
  let ada: Person
  beforeAll(async () => {
    started = await startApp()
    odile = await owner(started.app)
    ada = await member(odile, 'Ada')
  })
  afterAll(() => started.close())

  const ofGroup = 'Thursday-table-1'
  const told = 'little more than the name of the group'
  const field = (path: string) => ({ errors: [{ path, message: expect.stringContaining(told) }] })
  const pathOf = (answer: { json(): { url: string } }) => new URL(answer.json().url).pathname

  test('set-up', async () => {
    const empty = await startApp()
    const who = { name: 'Odile', email: 'odile@group.example', password: ofGroup }
    const body = { groupName: 'The Thursday table', currency: 'EUR', owner: who }
    const answer = await outsider(empty.app).post('/setup', body)
    expect([answer.statusCode, answer.json()]).toEqual([422, expect.objectContaining(field('/owner/password'))])
    const fields = { 'owner.name': who.name, 'owner.email': who.email, 'owner.password': ofGroup }
    const page = await outsider(empty.app).submit('/setup', { ...fields, groupName: body.groupName, currency: 'EUR' })
    expect([page.statusCode, page.body]).toEqual([422, expect.stringContaining(told)])
    expect((await outsider(empty.app).page('/setup')).statusCode).toBe(200)
    await empty.close()
  })

  test('an invitation, which is not used up by it', async () => {
    const path = pathOf(await odile.post('/invitations', { uses: 1 }))
    const who = { name: 'Ben', email: 'ben@group.example', password: ofGroup }
    const answer = await outsider(started.app).post(`${path}/accept`, who)
    expect([answer.statusCode, answer.json()]).toEqual([422, expect.objectContaining(field('/password'))])
    const page = await outsider(started.app).submit(path, who)
    expect([page.statusCode, page.body]).toEqual([422, expect.stringContaining(told)])
    expect((await outsider(started.app).submit(path, { ...who, password })).statusCode).toBe(303)
  })

  test('a change of one’s own, by the name that one takes with it', async () => {
    const answer = await ada.patch('/me', { password: { old: password, new: ofGroup } })
    expect([answer.statusCode, answer.json()]).toEqual([422, expect.objectContaining(field('/password/new'))])
    const renamed = await ada.patch('/me', { name: 'Marguerite', password: { old: password, new: 'marguerite-1' } })
    expect(renamed.json().errors[0].message).toContain('little more than your name')
    const page = await ada.submit('/me/password', { 'password.old': password, 'password.new': ofGroup, once: 'weak' })
    expect([page.statusCode, page.body]).toEqual([422, expect.stringContaining(told)])
  })

  test('a way back, which is not used up by it', async () => {
    const path = pathOf(await odile.post(`/members/${ada.id}/way-back`))
    const answer = await outsider(started.app).post(path, { password: ofGroup })
    expect([answer.statusCode, answer.json()]).toEqual([422, expect.objectContaining(field('/password'))])
    const page = await outsider(started.app).submit(path, { password: ofGroup })
    expect([page.statusCode, page.body]).toEqual([422, expect.stringContaining(told)])
    expect((await outsider(started.app).post(path, { password: 'five dry tin boats' })).statusCode).toBe(201)
  })
})
