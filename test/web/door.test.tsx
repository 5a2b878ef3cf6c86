import { expect, test } from 'vitest'
import measures from '../../db/demo/measures.json' with { type: 'json' }
import { SignIn } from '../../web/pages/Doors.tsx'
import { demoPassword } from '../../web/parts/demo-accounts.ts'
import drawn from '../../web/parts/door-figures.json' with { type: 'json' }
import { doorFigures } from '../figures/door.ts'
import { html, words } from './render.tsx'

const signIn = (isDemo: boolean) => <SignIn form={{ values: {}, errors: {} }} next="/" isDemo={isDemo} />

test('the figures at the door are those of the demo group as they are now', () => {
  expect(drawn).toEqual(doorFigures(measures))
})

test('they stand at one scale, each further on its way to the table', () => {
  const page = html(signIn(false))
  expect([...page.matchAll(/class="shadow shadow-([a-z-]+)"/g)].map(([, stage]) => stage)).toEqual([
    'wanted',
    'to-print',
    'printed',
    'built',
    'painted',
  ])
  const scales = [...page.matchAll(/width="([\d.]+)" height="[\d.]+" viewBox="\S+ \S+ ([\d.]+) /g)].map(
    ([, px, mm]) => Number(px) / Number(mm),
  )
  for (const scale of scales) expect(scale).toBeCloseTo(1.9, 1)
})

test('nobody is left standing outside without a word of who helps', () => {
  expect(words(signIn(false))).toContain('Forgot your password? Ask a steward')
  expect(words(signIn(false))).toContain('New here? Ask any steward for an invitation')
  expect(words(signIn(false))).not.toContain('demo.example')
  expect(words(signIn(true))).toContain('asker@demo.example')
})

test('the demo opens at a press, for each who can be tried, and nobody else’s door does', () => {
  const page = html(signIn(true))
  const doors = ['asker', 'steward', 'owner']
  for (const [index, who] of doors.entries()) {
    expect(page).toContain(`form="demo-${index}"`)
    const form = new RegExp(`<form id="demo-${index}"[^>]* action="/sign-in" method="post".*?</form>`).exec(page)?.[0]
    expect(form).toContain(`name="email" value="${who}@demo.example"`)
    expect(form).toContain(`name="password" value="${demoPassword}"`)
  }
  expect(html(signIn(false))).not.toContain(demoPassword)
})
