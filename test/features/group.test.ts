import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { App } from '../../server/http/app-type.ts'
import { outsider, owner, password, startApp } from '../support/app.ts'

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
