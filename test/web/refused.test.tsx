import { describe, expect, test } from 'vitest'
import { Refused } from '../../web/pages/Refused.tsx'
import { html } from './render.tsx'

describe('a refusal', () => {
  const id = '01a1f0c2-6f4e-7b3a-9c55-2f6d1e0a7b31'
  const page = (status: number, path: string, isReading = true) =>
    html(<Refused status={status} detail="So it is." isSignedIn path={path} isReading={isReading} />)
  const button = (body: string) => /<a class="button button-main" href="([^"]*)">\s*([^<]*?)\s*</.exec(body)?.slice(1)

  test('leads to what always helps', () => {
    for (const status of [403, 404, 500]) expect(page(status, `/rosters/${id}/edit`)).toContain('href="/units"')
  })

  test('of the service itself can be tried again, and what was typed is not given up', () => {
    expect(button(page(503, '/units'))).toEqual(['/units', 'Try again'])
    expect(button(page(500, '/units/new', false))).toBeUndefined()
    expect(page(500, '/units/new', false)).toContain(
      'Reload this page in a moment: your browser sends what you typed again.',
    )
  })

  test('leads nowhere else, whatever the address', () => {
    for (const status of [403, 404, 500]) expect(page(status, '//elsewhere.example/a/b')).not.toMatch(/href="\/\//)
  })

  test('asks whoever is not signed in to sign in', () => {
    const body = html(<Refused status={404} detail="So it is." isSignedIn={false} path="/units/x" isReading />)
    expect(button(body)).toEqual(['/sign-in', 'Sign in'])
  })

  test('of a form from somebody whose session ended says how to send it after all', () => {
    const body = page(401, '/requests/new', false)
    expect(body).toContain('reload this page')
    expect(body).toMatch(/<a[^>]* href="\/sign-in" target="_blank"/)
    expect(page(401, '/requests/new')).not.toContain('reload this page')
  })
})
