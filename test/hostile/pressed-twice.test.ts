import { afterAll, describe, expect, test } from 'vitest'
import type { Person } from '../support/app.ts'
import { fieldsOf, postsOf } from '../support/forms.ts'
import { pageCalls } from './calls.ts'
import { startCast } from './cast.ts'
import { routesOf } from './routes.ts'
import { things } from './things.ts'

const cast = await startCast()
afterAll(cast.close)

/** Every page on which something that is there gets changed, as whoever may do so finds it. */
async function editPages(): Promise<{ route: string; who: Person; url: string; action: string }[]> {
  const routes = routesOf(cast.app).filter((route) => /^GET \/.*\/edit$/.test(route))
  const pages = await Promise.all(
    routes.map(async (route) => {
      const who = route.includes('/sculptors/') ? cast.steward : cast.author
      const { params = [] } = (await pageCalls[route]?.ask(cast, who)) ?? {}
      const url = params.reduce((path, one) => path.replace(/:\w+/, one), route.replace('GET ', ''))
      return { route, who, url, action: url }
    }),
  )
  return [...pages, { route: 'GET /settings', who: cast.steward, url: '/settings', action: '/settings' }]
}

describe('a form that changes something', () => {
  test('is saved once for two presses, also at the same moment, and both lead to the same page', async () => {
    const pages = await editPages()
    expect(pages.length).toBeGreaterThan(9)
    for (const { route, who, url, action } of pages) {
      const fields = fieldsOf((await who.page(url)).body, action)
      const [one, two] = await Promise.all([who.submit(action, fields), who.submit(action, fields)])
      const three = await who.submit(action, fields)
      expect(
        [route, one, two, three].map((answer) => (typeof answer === 'string' ? answer : answer.statusCode)),
      ).toEqual([route, 303, 303, 303])
      expect(new Set([one, two, three].map(({ headers }) => headers.location)).size).toBe(1)
    }
  })

  test('that somebody else was quicker with keeps what was typed, says so, and can then be sent on purpose', async () => {
    for (const { route, who, url, action } of await editPages()) {
      const fields = fieldsOf((await who.page(url)).body, action)
      expect([route, (await who.submit(action, fields)).statusCode]).toEqual([route, 303])
      const typed: typeof fields = { ...fieldsOf((await who.page(url)).body, action), version: String(fields.version) }
      const late = await who.submit(action, typed)
      expect([route, late.statusCode]).toEqual([route, 422])
      expect(late.body).toContain('Somebody changed this after you opened it')
      const { version, once, ...shown } = fieldsOf(late.body, action)
      const { version: _, once: before, ...sent } = typed
      expect([route, shown]).toEqual([route, sent])
      expect(once).not.toBe(before)
      expect([route, (await who.submit(action, { ...shown, version, once } as typeof fields)).statusCode]).toEqual([
        route,
        303,
      ])
    }
  })

  test('and is altered after going back in the browser is told as late, not refused unread', async () => {
    const [unit] = (await editPages()).filter(({ route }) => route === 'GET /units/:id/edit')
    const { who, url, action } = unit ?? expect.fail()
    const fields = fieldsOf((await who.page(url)).body, action)
    await who.submit(action, fields)
    const altered = await who.submit(action, { ...fields, setting: 'The far shore' })
    expect(altered.statusCode).toBe(422)
    expect(altered.body).toContain('Somebody changed this after you opened it')
    expect(altered.body).toContain('value="The far shore"')
  })
})

test('every form that says which state it was made from can be pressed twice', async () => {
  for (const { route, who, url } of await editPages()) {
    const { body } = await who.page(url)
    for (const action of postsOf(body)) {
      const fields = fieldsOf(body, action)
      if ('version' in fields) expect([route, action, 'once' in fields]).toEqual([route, action, true])
    }
  }
})

test('a report that is removed twice is gone, and both presses lead to the same page', async () => {
  const { author } = cast
  const { id, plateId } = await things.report(author)
  const fields = fieldsOf((await author.page(`/reports/${id}`)).body, `/plates/${plateId}/remove`)
  const answers = [
    await author.submit(`/plates/${plateId}/remove`, fields),
    await author.submit(`/plates/${plateId}/remove`, fields),
  ]
  expect(answers.map(({ statusCode }) => statusCode)).toEqual([303, 303])
  expect(answers[1]?.headers.location).toBe(answers[0]?.headers.location)
})
