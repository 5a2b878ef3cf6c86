import { setTimeout as sleep } from 'node:timers/promises'
import { hash } from '@node-rs/argon2'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { hashPassword } from '../../../server/features/people/members/passwords.ts'
import { outsider, type Person, password, startGroup } from '../../support/app.ts'
import { hasConnections, hold } from '../../support/held.ts'

let group: Awaited<ReturnType<typeof startGroup>>
let ada: Person
let odile: Person
beforeEach(async () => {
  group = await startGroup()
  ;({ ada, odile } = group)
})
afterEach(() => group.close())

const signIn = (email = 'ada@group.example') => outsider(group.app).post('/sessions', { email, password })
const sessionsOf = (id: string) => group.db.selectFrom('session').select('idHash').where('memberId', '=', id).execute()
const wayBackOf = async (id: string) =>
  `/way-back/${new URL((await odile.post(`/members/${id}/way-back`)).json().url).pathname.split('/').at(-1)}`

const heldRow = 'select from member where id = $1 for no key update'

describe.runIf(hasConnections)('who waits for whom', () => {
  test('a sign-in waits for a change of password, and is refused after it', async () => {
    const change = await hold(group.place, heldRow, [ada.id])
    const answer = signIn()
    await change.untilWaiting()
    const next = await hashPassword('seven wet paper boats')
    await change.run('update member set password_hash = $1 where id = $2', [next, ada.id])
    await change.run('delete from session where member_id = $1', [ada.id])
    await change.letGo()
    expect((await answer).statusCode).toBe(401)
    expect((await answer).cookies).toEqual([])
    expect(await sessionsOf(ada.id)).toEqual([])
  })

  test('a sign-in waits for whoever lets the member leave, and is refused after it', async () => {
    const leaving = await hold(group.place, "update member set state = 'left' where id = $1", [ada.id])
    const answer = signIn()
    await leaving.untilWaiting()
    await leaving.run('delete from session where member_id = $1', [ada.id])
    await leaving.letGo()
    expect((await answer).statusCode).toBe(401)
    expect(await sessionsOf(ada.id)).toEqual([])
  })

  test('a change of password waits for a sign-in, and ends its session', async () => {
    const signing = await hold(group.place, heldRow, [ada.id])
    const other = "('of the other', gen_random_uuid(), $1, now() + '1 day')"
    await signing.run(`insert into session (id_hash, id, member_id, expires_at) values ${other}`, [ada.id])
    const answer = ada.patch('/me', { password: { old: password, new: 'seven wet paper boats' } })
    await signing.untilWaiting()
    await signing.letGo()
    expect((await answer).statusCode).toBe(200)
    const left = await sessionsOf(ada.id)
    expect(left).toHaveLength(1)
    expect(left).not.toContainEqual({ idHash: 'of the other' })
  })

  test('of two changes of password the second waits, and is asked for what the first has set', async () => {
    const first = await hold(group.place, heldRow, [ada.id])
    const answer = ada.patch('/me', { password: { old: password, new: 'six wet paper boats' } })
    await first.untilWaiting()
    const next = await hashPassword('seven wet paper boats')
    await first.run('update member set password_hash = $1 where id = $2', [next, ada.id])
    await first.letGo()
    expect((await answer).json().errors).toEqual([{ path: '/password/old', message: 'This is not your password.' }])
  })

  test('who comes by a way back waits for a change of password, which ends it', async () => {
    const path = await wayBackOf(ada.id)
    const change = await hold(group.place, heldRow, [ada.id])
    const answer = outsider(group.app).post(path, { password: 'five dry tin boats' })
    await change.untilWaiting()
    await change.run('delete from way_back where member_id = $1', [ada.id])
    await change.letGo()
    expect((await answer).statusCode).toBe(404)
  })

  test('of two who use a way back at once the second waits, and finds it used', async () => {
    const path = await wayBackOf(ada.id)
    const both = await hold(group.place, heldRow, [ada.id])
    const answers = ['one', 'two'].map((word) => outsider(group.app).post(path, { password: `${word} dry tin boats` }))
    await both.untilWaiting(2)
    await both.letGo()
    expect((await Promise.all(answers)).map(({ statusCode }) => statusCode).sort()).toEqual([201, 404])
    expect(await sessionsOf(ada.id)).toHaveLength(1)
  })
})

// On both databases, the embedded one too: the password is compared outside any transaction, and here that takes long.
test('a password that is being compared while it changes opens no session', async () => {
  const slow = await hash(password, { memoryCost: 19_456, timeCost: 60, parallelism: 1 })
  await group.db.updateTable('member').set({ passwordHash: slow }).where('id', '=', ada.id).execute()
  const path = await wayBackOf(ada.id)
  const answer = signIn()
  const isUnderWay = () => group.db.selectFrom('attempt').select('key').where('key', 'like', 'sign-in as %').execute()
  while ((await isUnderWay()).length < 2) await sleep(1)
  const back = await outsider(group.app).post(path, { password: 'five dry tin boats' })
  expect(back.statusCode).toBe(201)
  // Whichever of the two comes first, one session is left: that of the new password.
  await answer
  expect(await sessionsOf(ada.id)).toHaveLength(1)
  expect((await ada.keep(back).get('/me')).statusCode).toBe(200)
})
