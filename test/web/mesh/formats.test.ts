import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { afterEach, expect, test, vi } from 'vitest'
import { measureFiles } from '../../../web/mesh/measure-files.ts'
import type { Unit } from '../../../web/mesh/units.ts'
import { asciiStl, binaryStl, fileOf, meshObject, modelXml, obj, threeMf } from './files.ts'
import { box, cube, moved, type Shape, tetrahedron, turned } from './shapes.ts'

const measured = (files: File[], unit: Unit = 'mm') => measureFiles({ files, unit, layerUm: null }, () => {})

const block = box({ width: 30, depth: 20, height: 10 })
const asPackage = (shape: Shape) => threeMf(modelXml(meshObject(1, shape), '<item objectid="1"/>'))

afterEach(() => vi.unstubAllGlobals())

test.each([
  ['block.stl', binaryStl(block)],
  ['block.STL', binaryStl(block, 'solid is what many binary files begin with, too')],
  ['block.stl', asciiStl(block)],
  ['block.stl', asciiStl(block).toUpperCase()],
  ['block.stl', asciiStl(block).replaceAll('\n', '\r\n')],
  ['block.stl', `\uFEFF${asciiStl(block)}`],
  ['block.obj', obj(block)],
  ['block.3mf', asPackage(block)],
])('%s is read (case %#)', async (name, content) => {
  const found = await measured([fileOf(name, content)])
  expect(found).toMatchObject({ widthMm: 30, depthMm: 20, heightMm: 10, shells: 1, openEdges: 0, invertedShells: 0 })
  expect(found.volumeMl).toBeCloseTo(6, 5)
})

test('every part has its SHA-256, in order, with and without the browser’s own', async () => {
  const contents = [binaryStl(block), asciiStl(moved(block, 0, 0, 20))]
  const files = contents.map((content, part) => fileOf(`part ${part}.stl`, content))
  const hashes = contents.map((content) => createHash('sha256').update(content).digest('hex')).toSorted()
  await expect(measured(files)).resolves.toMatchObject({ sha256s: hashes, shells: 2 })
  // A page that came by plain HTTP has no `crypto.subtle`.
  vi.stubGlobal('crypto', {})
  await expect(measured(files)).resolves.toMatchObject({ sha256s: hashes })
})

test.each([
  ['mm', 1],
  ['cm', 10],
  ['inch', 25.4],
  ['m', 1000],
] as const)('in %s an STL’s and an OBJ’s numbers are %d mm each', async (unit, mm) => {
  const small = cube(0.02)
  for (const file of [
    fileOf('a.stl', binaryStl(small)),
    fileOf('a.stl', asciiStl(small)),
    fileOf('a.obj', obj(small)),
  ]) {
    const { widthMm, volumeMl } = await measured([file], unit)
    expect(widthMm).toBeCloseTo(0.02 * mm, 5)
    expect(volumeMl / ((0.02 * mm) ** 3 / 1000)).toBeCloseTo(1, 5)
  }
})

test('a 3MF says its own unit, whatever was chosen for the others', async () => {
  const files = [fileOf('a.3mf', asPackage(cube(10))), fileOf('b.stl', binaryStl(moved(cube(1), 0, 0, 1)))]
  const { heightMm } = await measured(files, 'cm')
  expect(heightMm).toBeCloseTo(20, 5)
})

test('an OBJ’s squares, backward numbers, groups, textures, lines and points', async () => {
  const text = `# a cube
mtllib cube.mtl
o cube
${['0 0 0', '10 0 0', '10 10 0', '0 10 0', '0 0 10', '10 0 10', '10 10 10', '0 10 10'].map((corner) => `v ${corner}`).join('\n')}
vt 0 0
vt 1 1
vn 0 0 1
usemtl skin
f 1/1/1 4/2/1 3/1/1 2/2/1
f 5//1 6//1 7//1 8//1
g sides
usemtl cloth
s 1
f 1 2 6 5
f -7 -6 -2 -3
l 1 2 3
f 3 4 8 7
p 1
f 4 1 5 8
`
  const found = await measured([fileOf('cube.obj', text)])
  expect(found).toMatchObject({ widthMm: 10, shells: 1, openEdges: 0, nonManifoldEdges: 0, invertedShells: 0 })
  expect(found.volumeMl).toBeCloseTo(1, 6)
})

test('whatever order parts come in, and wherever they lie, the whole is the same', async () => {
  const parts = [block, moved(tetrahedron(12), 60, 5, 0), moved(turned(cube(9), 'x', 30), -20, -20, 12)]
  const order = fc.shuffledSubarray([0, 1, 2], { minLength: 3 })
  const shift = fc.tuple(...Array(3).fill(fc.integer({ min: -200, max: 200 }))) as fc.Arbitrary<
    [number, number, number]
  >
  const first = await measured(parts.map((part, place) => fileOf(`${place}.stl`, binaryStl(part))))
  await fc.assert(
    fc.asyncProperty(order, shift, async (places, by) => {
      const files = places.map((place) => fileOf(`${place}.stl`, binaryStl(moved(parts[place] as Shape, ...by))))
      const found = await measured(files)
      for (const key of ['widthMm', 'depthMm', 'heightMm', 'volumeMl', 'surfaceMm2', 'widestLayerMm2'] as const)
        expect(found[key] / first[key], key).toBeCloseTo(1, 3)
      expect(found).toMatchObject({ shells: 3, openEdges: 0, overlapping: first.overlapping, invertedShells: 0 })
    }),
    { numRuns: 12 },
  )
})

test('however it is turned, a shape keeps its volume, surface and shells', async () => {
  const shape = [...block, ...moved(tetrahedron(12), 60, 5, 0)]
  const angle = fc.integer({ min: 0, max: 359 })
  await fc.assert(
    fc.asyncProperty(angle, angle, angle, async (x, y, z) => {
      const found = await measured([fileOf('a.stl', binaryStl(turned(turned(turned(shape, 'x', x), 'y', y), 'z', z)))])
      expect(found.volumeMl).toBeCloseTo(6 + 12 ** 3 / (6 * Math.SQRT2) / 1000, 4)
      expect(found.surfaceMm2 / (2200 + Math.sqrt(3) * 144)).toBeCloseTo(1, 5)
      expect(found).toMatchObject({
        shells: 2,
        openEdges: 0,
        nonManifoldEdges: 0,
        overlapping: false,
        invertedShells: 0,
      })
    }),
    { numRuns: 20 },
  )
})
