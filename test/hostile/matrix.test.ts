import { afterAll, describe, expect, test } from 'vitest'
import { type Ask, apiCalls, type Call, calls, isChange, leak, pageCalls, send } from './calls.ts'
import { roles, startCast } from './cast.ts'
import { routesOf } from './routes.ts'
import { things } from './things.ts'

const cast = await startCast()
afterAll(cast.close)

test('every route is known here, and nothing else', () => {
  expect(Object.keys(calls).sort()).toEqual(routesOf(cast.app))
})

describe('who may do what', () => {
  test.each([...Object.entries(apiCalls), ...Object.entries(pageCalls)])('%s', async (route, { may, ask }) => {
    const answers = []
    let asked: Ask | undefined
    for (const role of roles) {
      asked ??= await ask(cast, cast[role])
      const answer = await send(asked.by ?? cast[role], route, asked)
      expect(leak(answer)).toBeUndefined()
      answers.push(answer)
      // Where nothing was done the same is there for the next to ask for; unless what is asked for goes by who asks.
      const isDone = isChange(route) && answer.statusCode < 400
      if (isDone || ask.length > 1) asked = undefined
    }
    expect(answers.map((answer) => answer.statusCode)).toEqual(may)
    const [nobody] = answers
    if (may[0] === 303 && may[1] === 200) expect(nobody?.headers.location).toMatch(/^\/sign-in\?next=%2F/)
    for (const answer of answers.filter(({ statusCode }) => statusCode >= 400)) expectRefusal(route, answer)
  })
})

function expectRefusal(route: string, answer: { statusCode: number; headers: object; json(): unknown }) {
  if (!route.includes('/api/v1/')) {
    expect(answer.headers).toMatchObject({ 'content-type': 'text/html; charset=utf-8' })
    return
  }
  expect(answer.headers).toMatchObject({ 'content-type': 'application/problem+json' })
  const { statusCode: status } = answer
  expect(answer.json()).toMatchObject({
    type: 'about:blank',
    title: expect.any(String),
    detail: expect.any(String),
    status,
  })
}

const withParams = Object.entries(calls).filter(([route]) => route.includes(':'))
const nowhere = '01890000-0000-7000-8000-000000000000'

const noIds = ['%00', '..%2f..', 'a'.repeat(5_000), `${nowhere}0`, '%E0%A4%A']

describe('a thing that does not exist', () => {
  // Whoever reads an id at all refuses the first of these; the others are on turn, by the route.
  const cases = withParams.map(([route, call], place) => ({ route, call, odd: noIds[place % noIds.length] ?? '' }))

  test.each(cases)('$route', async ({ route, call, odd }) => {
    const { owner } = cast
    const asked = await call.ask(cast, cast.author)
    const about = (id: string) => send(owner, route, { ...asked, params: [id] })
    const statuses: [string, number][] = []
    for (const id of ['not-an-id', odd]) statuses.push([id.slice(0, 20), (await about(id)).statusCode])
    for (const id of await wrongKinds(route, asked, call)) {
      const answer = await about(id)
      expect(leak(answer)).toBeUndefined()
      statuses.push([id, answer.statusCode === (call.unknown ?? 404) ? 404 : answer.statusCode])
    }
    expect(statuses).toEqual(statuses.map(([id]) => [id, 404]))
  })
})

/** Ids that look right: of nothing, and of a thing of another kind. */
async function wrongKinds(route: string, asked: Ask, { unknown }: Call): Promise<string[]> {
  if (/:(code|currency)|accept/.test(route)) return []
  const other = /\/units|\/requests/.test(route) ? await things.file(cast.author) : await things.unit(cast.author)
  const looksRight = [nowhere, other.id]
  // In capitals it is the same id (RFC 9562, section 4), so this one does exist.
  const [id = ''] = asked.params ?? []
  if (isChange(route) || unknown) return looksRight
  const capitals = await send(cast.owner, route, { params: [id.toUpperCase()] })
  const small = await send(cast.owner, route, { params: [id] })
  expect(capitals.statusCode).toBe(small.statusCode)
  return looksRight
}
