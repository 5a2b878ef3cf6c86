import { expect, test } from 'vitest'
import { BaseFields } from '../../web/parts/choice-field.tsx'
import { Described, type Typed } from '../../web/parts/described.tsx'
import { DescribedHere } from '../../web/parts/described-here.tsx'
import { Form } from '../../web/parts/form.tsx'
import { roomOf } from '../../web/parts/shadow.tsx'
import { html, words } from './render.tsx'

const typing =
  (values: Record<string, string>): Typed =>
  (field) =>
    values[field] ?? ''

const unit = {
  scaleMm: '32',
  'base.shape': 'round',
  'base.widthMm': '40',
  modelsPerUnit: '5',
}
const pictureOf = (values: Record<string, string>, what: 'unit' | 'file' = 'unit') => (
  <Described what={what} typed={typing(values)} />
)

test('a unit is said as far as it is typed', () => {
  expect(words(pictureOf(unit))).toContain('32 mm, on 40 mm round bases, 5 in a box Dashed')
  expect(words(pictureOf({ ...unit, modelsPerUnit: '1' }))).toContain('one in a box Dashed')
})

test('its base is drawn at the size that is typed, its figure as tall as its scale', () => {
  const { width, height } = roomOf({ shadow: null, base: { shape: 'round', widthMm: 40 }, scaleMm: 32 })
  // Beside it stands the ruled centimetre, 5 mm wide.
  expect(html(pictureOf(unit))).toMatch(new RegExp(`viewBox="[-\\d.]+ [-\\d.]+ ${width + 5} ${height}"`))
  expect(html(pictureOf(unit))).toContain('rx="20" ry="6.4"')
  const oval = { ...unit, 'base.shape': 'oval', 'base.lengthMm': '60,5' }
  expect(html(pictureOf(oval))).toContain('rx="30.3" ry="6.4"')
})

test('what is no number, or can’t be meant, is not drawn', () => {
  for (const widthMm of ['', 'wide', '-3', '0', '1e9', 'Infinity']) {
    expect(html(pictureOf({ ...unit, 'base.widthMm': widthMm }))).not.toContain('<ellipse')
  }
  expect(html(pictureOf({ ...unit, 'base.shape': 'constructor' }))).not.toContain('<ellipse')
})

test('a file is drawn as tall as it is said to be, and by its shadow once it is measured', () => {
  const file = { scaleMm: '28', 'base.shape': 'round', 'base.widthMm': '25', heightMm: '41.5' }
  expect(words(pictureOf(file, 'file'))).toContain('28 mm, 25 mm round, 41.5 mm tall')
  const shadow = {
    front: [[[0, 0] as [number, number], [10, 0], [5, 44]]] as [number, number][][],
    widthMm: 10,
    heightMm: 44,
  }
  const measured = <Described what="file" typed={typing(file)} shadow={shadow} />
  expect(words(measured)).toContain('44 mm tall Its shadow, as measured')
  expect(html(measured)).toContain('d="M-5 0L5 0L0 -44Z"')
})

test('a form draws what its fields hold, whatever they are called', () => {
  const here = html(
    <Form action="/" values={{ 'unit.scaleMm': '32', 'unit.base.shape': 'round', 'unit.base.widthMm': '40' }}>
      <DescribedHere what="unit" prefix="unit." />
    </Form>,
  )
  expect(here).toContain('data-described="unit"')
  expect(here).toContain('32 mm, on 40 mm round bases')
})

test('what the legend says to be optional is not said again at each field under it', () => {
  const base = (
    <Form action="/">
      <BaseFields prefix="" />
    </Form>
  )
  expect(words(base)).toBe(
    'Base (optional) Shape not known round oval rectangle Width Of a round base: across. mm Length Oval and rectangle only. mm',
  )
  expect(html(base)).not.toContain(' required')
})

test('a machine is drawn by its plate once that is typed', () => {
  const machine = (plateWidthMm: string, plateDepthMm: string, buildHeightMm = '') => (
    <Described what="printer" typed={typing({ plateWidthMm, plateDepthMm, buildHeightMm })} />
  )
  expect(words(machine('150', '90', '170'))).toContain('150 × 90 mm, 170 mm high From above')
  expect(html(machine('150', '90'))).toContain('width="165" height="99"')
  expect(words(machine('150', ''))).toBe('Say how wide and deep the plate is, and it is drawn to size.')
})

test('a picture is veiled where it will be cut, and whole while nothing that can be meant is typed', () => {
  const picture = { src: '/pictures/one', width: 400, height: 200, alt: 'Two men' }
  const cut = (values: Record<string, string>) =>
    html(<Described what="picture" picture={picture} typed={typing(values)} />)
  const some = cut({ 'crop.left': '10', 'crop.top': '25', 'crop.right': '12,5', 'crop.bottom': '0' })
  expect(some).toContain('x="40" y="50" width="310" height="150"')
  expect(some).toContain('Two men, with what is cut off veiled')
  for (const left of ['', '0', '100', '-4', 'half']) expect(cut({ 'crop.left': left })).not.toContain('cut-off')
})
