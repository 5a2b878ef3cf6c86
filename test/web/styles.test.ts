import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'

const folder = new URL('../../web/styles/', import.meta.url)
const declarations = readdirSync(folder).flatMap((file) =>
  [...readFileSync(new URL(file, folder), 'utf8').matchAll(/^\s*(font|font-variant[\w-]*):\s*(.+);$/gm)].map(
    ([, name, value]) => ({ file, name, value }),
  ),
)

test('figures are lining and tabular everywhere, said once', () => {
  expect(declarations.filter(({ name }) => name !== 'font')).toEqual([
    { file: 'base.css', name: 'font-variant-numeric', value: 'lining-nums tabular-nums' },
  ])
})

// CSS Fonts Module Level 4, the font shorthand: it sets font-variant-numeric back to its initial value, unless inherited.
test('nothing takes them back', () => {
  const others = declarations.filter(({ name, value }) => name === 'font' && value !== 'inherit')
  expect(others.map(({ file }) => file)).toEqual(['base.css'])
})
