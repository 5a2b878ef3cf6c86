import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Db } from '../../../db/connect.ts'
import { invite, newCode } from '../../../server/features/people/invitations/queries.ts'
import { makeWayBack } from '../../../server/features/people/way-back/queries.ts'
import type { App } from '../../../server/http/route.ts'
import type { Viewer } from '../../../server/http/session.ts'
import { member, outsider, owner, type Person, password, startApp } from '../../support/app.ts'

const etagOf = async (viewer: Person, id: string) => String((await viewer.get(`/members/${id}`)).headers.etag)

/** Changes somebody as they are now. */
async function change(by: Person, id: string, body: Record<string, unknown>) {
  return by.patch(`/members/${id}`, body, { headers: { 'if-match': await etagOf(by, id) } })
}

const signIn = (app: App, name: string, word = password) =>
  outsider(app).post('/sessions', { email: `${name}@group.example`, password: word })

describe('a way back in', () => {
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

  const make = (by: Person, id: string) => by.post(`/members/${id}/way-back`)
  const pathOf = (answer: { json(): { url: string } }) => new URL(answer.json().url).pathname

  test('is made by stewards for members, by the owner for stewards, for the owner by nobody (ASVS 6.4.3)', async () => {
    expect((await make(ada, stella.id)).statusCode).toBe(403)
    expect((await make(stella, odile.id)).statusCode).toBe(403)
    expect((await make(stella, stella.id)).statusCode).toBe(409)
    expect((await make(odile, odile.id)).statusCode).toBe(409)
    const other = await member(odile, 'Sten', 'steward')
    expect((await make(stella, other.id)).statusCode).toBe(403)
    expect((await make(odile, other.id)).statusCode).toBe(201)
    expect((await make(outsider(app), ada.id)).statusCode).toBe(401)
    expect((await make(stella, '018f0000-0000-7000-8000-000000000000')).statusCode).toBe(404)
  })

  test('sets a new password once, ends every session, and only the newest link works', async () => {
    const [first, second] = [pathOf(await make(stella, ada.id)), pathOf(await make(stella, ada.id))]
    expect(JSON.stringify(await db.selectFrom('wayBack').selectAll().execute())).not.toContain(second.split('/').at(-1))
    expect((await outsider(app).page(first)).statusCode).toBe(404)
    expect((await outsider(app).page(second)).body).toContain('Welcome back, Ada')
    const weak = await outsider(app).submit(second, { password: 'qwertyuiop' })
    expect(weak.statusCode).toBe(422)
    expect(weak.body).toContain('Many people have used this password')
    const set = await outsider(app).submit(second, { password: 'seven wet paper boats' })
    expect(set.headers.location).toBe('/?said=back-in')
    expect(set.cookies[0]?.name).toBe('understudy_session')
    expect((await ada.get('/me')).statusCode).toBe(401)
    expect((await signIn(app, 'ada')).statusCode).toBe(401)
    expect((await signIn(app, 'ada', 'seven wet paper boats')).statusCode).toBe(201)
    expect((await outsider(app).submit(second, { password: 'again and again' })).statusCode).toBe(404)
  })

  test('is made, as an invitation is, by nobody who is no steward any more when the body of the request has come', async () => {
    const sten = await member(odile, 'Stenson', 'steward')
    const before = { id: sten.id, role: 'steward' } as Viewer
    for (const fallen of [{ role: 'member' }, { state: 'left' }]) {
      expect((await change(odile, sten.id, fallen)).statusCode).toBe(200)
      await expect(makeWayBack(db, before, ada.id, newCode(), now)).rejects.toMatchObject({ status: 403 })
      const wanted = { role: 'member', uses: 1, expiresInDays: 7, note: '' } as const
      await expect(invite(db, before, wanted, now)).rejects.toMatchObject({ status: 403 })
    }
    expect(await db.selectFrom('wayBack').select('memberId').where('memberId', '=', ada.id).execute()).toEqual([])
  })

  test('of two who use it at once one gets in', async () => {
    const path = pathOf(await make(stella, ada.id))
    const answers = await Promise.all(
      ['one dry tin boat', 'two dry tin boats'].map((word) => outsider(app).post(path, { password: word })),
    )
    expect(answers.map((one) => one.statusCode).sort()).toEqual([201, 404])
  })

  test('ends after a day, and with the membership', async () => {
    const path = pathOf(await make(stella, ada.id))
    now = new Date(now.getTime() + 25 * 3_600_000)
    expect((await outsider(app).post(path, { password: 'three dry tin boats' })).statusCode).toBe(404)
    const late = pathOf(await make(stella, ada.id))
    expect((await change(odile, ada.id, { state: 'left' })).statusCode).toBe(200)
    expect((await outsider(app).page(late)).statusCode).toBe(404)
    expect((await make(stella, ada.id)).statusCode).toBe(409)
    expect((await change(odile, ada.id, { state: 'active' })).statusCode).toBe(200)
  })

  test('ends with a new password or role: it opens no more than it was made for', async () => {
    const ben = await member(odile, 'Ben')
    const before = pathOf(await make(stella, ben.id))
    expect((await change(odile, ben.id, { role: 'steward' })).statusCode).toBe(200)
    expect((await outsider(app).post(before, { password: 'five dry tin boats' })).statusCode).toBe(404)
    const other = pathOf(await make(odile, ben.id))
    expect((await ben.patch('/me', { password: { old: password, new: 'six dry tin boats' } })).statusCode).toBe(200)
    expect((await outsider(app).page(other)).statusCode).toBe(404)
  })

  test('ends when a steward goes, or is one no more: whoever may have made it cannot become somebody else', async () => {
    const mia = await member(odile, 'Mia')
    const sven = await member(odile, 'Sven', 'steward')
    for (const end of [{ role: 'member' }, { state: 'left' }]) {
      expect((await change(odile, sven.id, { role: 'steward' })).statusCode).toBe(200)
      const path = pathOf(await make(sven, mia.id))
      expect((await outsider(app).page(path)).statusCode).toBe(200)
      expect((await change(odile, sven.id, end)).statusCode).toBe(200)
      expect((await outsider(app).post(path, { password: 'nine dry tin boats' })).statusCode).toBe(404)
    }
    const path = pathOf(await make(stella, mia.id))
    expect((await change(odile, (await member(odile, 'Nell')).id, { state: 'left' })).statusCode).toBe(200)
    expect((await outsider(app).page(path)).statusCode).toBe(200)
  })

  test('the page shows the link once; a second press is the same link', async () => {
    const code = /name="code" value="([\w-]{24})"/.exec((await stella.page(`/members/${ada.id}`)).body)?.[1] ?? ''
    for (let turn = 0; turn < 2; turn++)
      expect((await stella.submit(`/members/${ada.id}/way-back`, { code })).body).toContain(
        `/way-back/${code}</textarea>`,
      )
    expect((await stella.page(`/members/${ada.id}`)).body).not.toContain(code)
    expect((await outsider(app).page(`/way-back/${code}`)).statusCode).toBe(200)
    expect((await odile.page(`/members/${stella.id}`)).body).toContain('Stella forgot the password')
    expect((await stella.page(`/members/${odile.id}`)).body).not.toContain('forgot the password')
  })
})
