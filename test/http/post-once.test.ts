import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../server/http/route.ts'
import { owner, type Person, startApp } from '../support/app.ts'

const typed = { scaleMm: '28', modelsPerUnit: '1', 'retailPrice.amount': '', 'retailPrice.currency': 'EUR' }

describe('a form that is pressed once', () => {
  let app: App
  let close: () => Promise<void>
  let odile: Person
  beforeAll(async () => {
    ;({ app, close } = await startApp())
    odile = await owner(app)
  })
  afterAll(() => close())

  test('comes back with the reason when the database refuses it, and can be sent again', async () => {
    const first = { ...typed, name: 'Reed Pikes', once: 'one' }
    expect((await odile.submit('/units/new', first)).statusCode).toBe(303)
    const again = { ...first, once: 'two' }
    const refused = await odile.submit('/units/new', again)
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('There is already a unit with this name')
    expect((await odile.submit('/units/new', { ...again, name: 'Reed Bows' })).statusCode).toBe(303)
  })

  test('is sent anew where somebody goes back in the browser and types something else', async () => {
    const first = { ...typed, name: 'Reed Horns', once: 'three' }
    const next = { ...first, name: 'Reed Drums' }
    const answers = [first, next, first, next].map(async (fields) => (await odile.submit('/units/new', fields)).headers)
    const [one, two, ...again] = (await Promise.all(answers)).map(({ location }) => location)
    expect(one).not.toBe(two)
    expect(again).toEqual([one, two])
  })

  test('does not write a refused one', async () => {
    expect((await odile.get('/units')).json().items).toHaveLength(4)
  })
})
