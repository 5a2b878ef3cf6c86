import type { ComponentChildren } from 'preact'
import { expect, test } from 'vitest'
import { DateWords } from '../../web/parts/date-words.tsx'
import { remembered } from '../../web/parts/remembered.tsx'
import { html, irishReader } from './render.tsx'

interface Props {
  row: { name: string; on: string; price: number | null }
}

let written = 0
const Plain = ({ row }: Props) => {
  written++
  return (
    <li title={row.name}>
      {row.name} <DateWords on={row.on} as="distance" /> {row.price ?? 'free'}
    </li>
  )
}
const row = { name: '<b>"Ada" & Odile’s</b>', on: '2026-11-03', price: 3 }

test('a part that is remembered is written once, and as it would be anyhow', () => {
  const Kept = remembered(Plain, 10)
  const first = html(<Kept row={row} />)
  expect(first).toBe(html(<Plain row={row} />))
  const before = written
  expect(html(<Kept row={{ ...row }} />)).toBe(first)
  expect(written).toBe(before)
})

test('whatever differs in props or reader is written anew', () => {
  const Kept = remembered(Plain, 10)
  const rows = [row, { ...row, name: 'Odile' }, { ...row, on: '2026-11-04' }, { ...row, price: null }]
  const readers = [irishReader, { ...irishReader, today: '2026-11-01' }]
  for (let time = 0; time < 2; time++)
    for (const reader of readers)
      for (const one of rows) expect(html(<Kept row={one} />, reader)).toBe(html(<Plain row={one} />, reader))
})

test('it stands among others, and so many are kept', () => {
  const Kept = remembered(Plain, 2)
  const list = (Part: typeof Plain) => (
    <ul>
      {['a', 'b', 'c', 'a'].map((name, place) => (
        <Part key={String(place)} row={{ ...row, name }} />
      ))}
    </ul>
  )
  expect(html(list(Kept as typeof Plain))).toBe(html(list(Plain)))
  const before = written
  html(<Kept row={{ ...row, name: 'b' }} />)
  expect(written).toBe(before + 1)
})

test('what JSON does not tell apart is refused by its type', () => {
  const WithChildren = ({ children }: { children: ComponentChildren }) => <p>{children}</p>
  const WithSet = ({ chosen }: { chosen: ReadonlySet<string> }) => <p>{chosen.size}</p>
  // @ts-expect-error children are functions somewhere down
  const children = remembered(WithChildren, 1)
  // @ts-expect-error all sets look alike
  const set = remembered(WithSet, 1)
  expect([children, set]).toHaveLength(2)
})
