import { readFileSync } from 'node:fs'
import { afterAll, describe, expect, test } from 'vitest'
import { lookAlike, skeleton } from '../../../server/features/people/members/names.ts'
import { member, outsider, password, startGroup } from '../../support/app.ts'

/** What ICU 72.1 makes of some texts (test/reference/skeletons/make.py). */
const reference: Record<string, string> = JSON.parse(
  readFileSync(new URL('../../reference/skeletons/skeletons.json', import.meta.url), 'utf8'),
)

test.each(Object.entries(reference))('%j has the skeleton that ICU gives it', (text, expected) => {
  expect(skeleton(text)).toBe(expected)
})

describe('two names', () => {
  test.each([
    ['Ada', 'Ada'],
    ['Ada', 'ada'],
    ['Ada', 'Аdа'],
    ['Odile', '0di1e'],
    ['Maren', 'rnaren'],
    ['Ida', 'lda'],
    ['IDA', 'lda'],
    ['Ada of the fen', ' ada  of\u00a0the fen '],
    ['Ada', 'A\u200bda'],
    ['Tomás', 'Toma\u0301s'],
  ])('%j and %j look alike', (one, other) => {
    expect([lookAlike(one, other), lookAlike(other, one)]).toEqual([true, true])
  })

  test.each([
    ['Ada', 'Adah'],
    ['Ada', 'Äda'],
    ['Ben', 'Benn'],
    ['Ada L', 'AdaL'],
    ['Ilka', 'Ilse'],
  ])('%j and %j do not', (one, other) => {
    expect([lookAlike(one, other), lookAlike(other, one)]).toEqual([false, false])
  })
})

describe('a name that looks like another member’s', async () => {
  const { app, odile, ada, ben, close } = await startGroup()
  afterAll(close)

  async function joining(name: string, email: string) {
    const { url } = (await odile.post('/invitations', { role: 'member', expiresInDays: 7, uses: 1 })).json()
    return outsider(app).post(`/invitations/${url.split('/').at(-1)}/accept`, { name, email, password })
  }

  test('is refused to whoever joins, and the invitation is good for another try', async () => {
    for (const name of ['Ada', 'ADA', 'Аdа', '0dile'])
      expect((await joining(name, 'new@group.example')).json().errors).toMatchObject([{ path: '/name' }])
    expect((await joining('Ada of the fen', 'new@group.example')).statusCode).toBe(201)
  })

  test('is refused with what was typed on the page that an invitation leads to', async () => {
    const { url } = (await odile.post('/invitations', { role: 'member', expiresInDays: 7, uses: 1 })).json()
    const typed = { email: 'another@group.example', password }
    const refused = await outsider(app).submit(new URL(url).pathname, { ...typed, name: 'B\u0435n' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('Somebody here already has this name')
    expect(refused.body).toContain('value="another@group.example"')
    expect((await outsider(app).submit(new URL(url).pathname, { ...typed, name: 'Ben Two' })).statusCode).toBe(303)
  })

  test('is refused to a member who changes theirs, also that of somebody who left', async () => {
    const cleo = await member(odile, 'Cleo')
    const any = { headers: { 'if-match': '*' } }
    await odile.patch(`/members/${cleo.id}`, { state: 'left' }, any)
    for (const name of ['Ben', 'CLEO', 'Cle0'])
      expect((await ada.patch('/me', { name })).json().errors).toMatchObject([{ path: '/name' }])
    expect((await ada.patch('/me', { name: 'ada' })).statusCode).toBe(200)
    expect((await ada.patch('/me', { name: 'Ada', defaultCrowding: 'packed' })).statusCode).toBe(200)
  })

  test('of two who take one at the same moment one gets it', async () => {
    const answers = await Promise.all([ada, ben].map((person) => person.patch('/me', { name: 'Newt' })))
    expect(answers.map(({ statusCode }) => statusCode).toSorted()).toEqual([200, 422])
  })
})
