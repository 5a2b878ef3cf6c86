import { strToU8, zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { measureFiles } from '../../../web/mesh/measure-files.ts'
import { Refusal } from '../../../web/mesh/refusal.ts'
import { asciiStl, binaryStl, fileOf, meshObject, modelXml, obj, threeMf } from './files.ts'
import { box, cube, moved, type Shape } from './shapes.ts'

const measured = (...files: File[]) => measureFiles({ files, unit: 'mm', layerUm: 50 }, () => {})

/** The sentence with which files are refused. */
async function sentence(...files: File[]): Promise<string> {
  const error = await measured(...files).then(
    () => undefined,
    (refused: unknown) => refused,
  )
  expect(error).toBeInstanceOf(Refusal)
  return (error as Refusal).message
}

const block = binaryStl(cube(10))
const item = '<item objectid="1"/>'
const packed = threeMf(modelXml(meshObject(1, cube(10)), item))

/** As large as it says, without the bytes. */
const sized = (name: string, size: number): File => Object.defineProperty(fileOf(name, ''), 'size', { value: size })

describe('before a file is read', () => {
  test('nothing, something else, an empty file, and too much are refused', async () => {
    await expect(sentence()).resolves.toBe('There is no file to measure.')
    await expect(sentence(fileOf('notes.txt', 'x'))).resolves.toBe('notes.txt is neither STL, OBJ nor 3MF.')
    await expect(sentence(fileOf('a.stl', ''))).resolves.toBe('a.stl is empty.')
    await expect(sentence(sized('a.stl', 2e9))).resolves.toBe('That is 2,000 MB; up to 600 MB can be measured at once.')
    const many = Array.from({ length: 101 }, () => fileOf('a.stl', block))
    await expect(sentence(...many)).resolves.toBe('These are 101 files; one figure can have up to 100.')
    await expect(sentence(sized('a.stl', 400e6), sized('b.stl', 400e6))).resolves.toMatch(/^That is 800 MB/)
  })
})

describe('an STL', () => {
  test.each([
    [
      'cut off',
      block.subarray(0, 300),
      'a.stl says that it has 12 triangles, but ends after 4: it was cut off, or is not an STL.',
    ],
    ['cut off in its head', block.subarray(0, 60), 'a.stl is not an STL: it is too short even for the header of one.'],
    [
      'that says too few',
      binaryStl(cube(10), 'x', 3),
      'a.stl says that it has 3 triangles, but there is room for 12 in it.',
    ],
    ['that says billions', binaryStl(cube(10), 'x', 0xffffffff), /^a\.stl says that it has 4,294,967,295 triangles/],
    ['of none', binaryStl([]), 'There is not a single triangle in a.stl.'],
    [
      'of not-numbers',
      binaryStl([Number.NaN, ...cube(10).slice(1)]),
      'a.stl has corners that are not numbers: it is damaged.',
    ],
    [
      'of infinite numbers',
      binaryStl([Infinity, ...cube(10).slice(1)]),
      'a.stl has corners that are not numbers: it is damaged.',
    ],
    ['of vast numbers', binaryStl(moved([...cube(10), ...cube(3e38)], 1, 0, 0)), /m long, more than any printer takes/],
    ['that is flat', binaryStl(cube(10).slice(0, 18)), 'This is flat: it has no volume to print.'],
    ['of points only', binaryStl(Array(90).fill(1)), 'This is flat: it has no volume to print.'],
    ['that is noise', crypto.getRandomValues(new Uint8Array(5000)), /^a\.stl says that it has/],
    ['in words, cut off', asciiStl(cube(10)).slice(0, 700), 'a.stl has no end: it was cut off.'],
    ['in words, of nothing', 'solid nothing\nendsolid nothing\n', 'There is not a single triangle in a.stl.'],
    [
      'in words, with not-numbers',
      asciiStl(cube(10)).replace('vertex 0', 'vertex nan'),
      /corners that are not numbers\.$/,
    ],
    ['in words, with a corner missing', asciiStl(cube(10)).replace(/ {2}vertex.*\n/, ''), /without three corners/],
    ['that is a page', '<!doctype html><title>Sign in</title>', /^a\.stl is not an STL/],
    ['that is a package', packed, /^a\.stl says that it has/],
  ])('%s is refused', async (_, content, expected) => {
    await expect(sentence(fileOf('a.stl', content))).resolves.toMatch(expected)
  })

  test('that was read in metres and is a figure in mm is asked about', async () => {
    const files = [fileOf('a.stl', binaryStl(cube(32)))]
    const refused = measureFiles({ files, unit: 'm', layerUm: 50 }, () => {})
    await expect(refused).rejects.toThrow(
      'This would be 32 m long, more than any printer takes. Is it in another unit?',
    )
  })
})

describe('an OBJ', () => {
  test.each([
    [
      'of corners only',
      'v 0 0 0\nv 1 0 0\nv 0 1 0\n',
      'a.obj has no faces, so it is not an OBJ that could be printed.',
    ],
    ['that is noise', crypto.getRandomValues(new Uint8Array(3000)), /^a\.obj/],
    [
      'whose faces are elsewhere',
      obj(cube(10)).replace('f 1 2 3', 'f 1 2 999'),
      'a.obj has corners that are not numbers: it is damaged.',
    ],
    [
      'with not-numbers',
      obj(cube(10)).replace('v 0', 'v nan'),
      'a.obj has corners that are not numbers: it is damaged.',
    ],
    ['of lines', 'v 0 0 0\nv 1 0 0\nl 1 2\nf 1 2\n', /a\.obj/],
  ])('%s is refused', async (_, content, expected) => {
    await expect(sentence(fileOf('a.obj', content))).resolves.toMatch(expected)
  })
})

/** A package of one model which unpacks to so many MB of blanks. */
function bomb(megabytes: number): Uint8Array {
  const model = new Uint8Array(megabytes * 1e6).fill(0x20)
  return zipSync({ '3D/3dmodel.model': [model, { level: 9 }] })
}

describe('a 3MF', () => {
  const bad = (model: string) => threeMf(model)

  test.each([
    ['that is no package', block, 'a.3mf is not a 3MF, or has no model in it.'],
    ['of other things', zipSync({ 'a.txt': strToU8('x') }), 'a.3mf is not a 3MF, or has no model in it.'],
    ['cut off', packed.subarray(0, packed.length / 2), /^a\.3mf (can’t be unpacked|is not a 3MF|can’t be read)/],
    [
      'whose model is cut off',
      bad(modelXml(meshObject(1, cube(10)), item).slice(0, 900)),
      /its model is damaged or was cut off\.$/,
    ],
    ['with nothing to make', bad(modelXml(meshObject(1, cube(10)), '')), 'a.3mf has no model to print.'],
    [
      'that makes what is not there',
      bad(modelXml(meshObject(1, cube(10)), '<item objectid="7"/>')),
      /an object that is not in it\.$/,
    ],
    [
      'with corners that are not there',
      bad(modelXml(meshObject(1, cube(10)).replace('v1="0"', 'v1="99"'), item)),
      /with corner 99, which does not exist\.$/,
    ],
    [
      'with half a corner',
      bad(modelXml(meshObject(1, cube(10)).replace('v1="0"', 'v1="0.5"'), item)),
      /with corner 0\.5/,
    ],
    [
      'with not-numbers',
      bad(modelXml(meshObject(1, cube(10)).replace('x="0"', 'x="NaN"'), item)),
      /a corner that is not a number: NaN\.$/,
    ],
    [
      'without numbers',
      bad(modelXml(meshObject(1, cube(10)).replace('x="0"', ''), item)),
      /a corner that is not a number: nothing at all\.$/,
    ],
    [
      'in ells',
      bad(modelXml(meshObject(1, cube(10)), item, 'unit="ell"')),
      'a.3mf is in a unit that 3MF does not know: ell.',
    ],
    [
      'that needs an extension',
      bad(modelXml(meshObject(1, cube(10)), item, 'xmlns:b="urn:beams" requiredextensions="b"')),
      /extension of 3MF that can’t be read here \(b\)/,
    ],
    [
      'put at no place',
      bad(modelXml(meshObject(1, cube(10)), '<item objectid="1" transform="1 0 0"/>')),
      /is not twelve numbers\.$/,
    ],
    [
      'with a document type',
      bad(modelXml(meshObject(1, cube(10)), item).replace('?>', '?><!DOCTYPE x [<!ENTITY a "b">]>')),
      /has a document type/,
    ],
    [
      'with a stranger’s entity',
      bad(modelXml(meshObject(1, cube(10)).replace('x="0"', 'x="&a;"'), item)),
      /its model is damaged/,
    ],
    ['that is a page', bad('<!doctype html><title>x</title>'), /^a\.3mf/],
  ])('%s is refused', async (_, content, expected) => {
    await expect(sentence(fileOf('a.3mf', content))).resolves.toMatch(expected)
  })

  test('that unpacks to far more than it is, is refused long before it is unpacked', async () => {
    const packedBomb = bomb(60)
    expect(packedBomb.length).toBeLessThan(1e5)
    await expect(sentence(fileOf('a.3mf', packedBomb))).resolves.toBe(
      'a.3mf unpacks to more than 100 times its size, which no model does.',
    )
  })

  test('whose objects are in each other, or multiply into billions, is refused', async () => {
    const inside = (id: number, of: number, times = 1) =>
      `<object id="${id}"><components>${`<component objectid="${of}"/>`.repeat(times)}</components></object>`
    const circle = bad(modelXml(inside(1, 2) + inside(2, 1), item))
    await expect(sentence(fileOf('a.3mf', circle))).resolves.toMatch(/inside each other without end\.$/)
    const levels = Array.from({ length: 9 }, (_, level) => inside(level + 2, level + 1, 10)).join('')
    const many = bad(modelXml(meshObject(1, cube(10)) + levels, '<item objectid="10"/>'))
    await expect(sentence(fileOf('a.3mf', many))).resolves.toMatch(/without end\.$|million triangles/)
  })

  test('with textures and pictures is measured without them', async () => {
    const others = { '3D/Textures/skin.png': new Uint8Array(5000), 'Metadata/thumbnail.png': new Uint8Array(5000) }
    const model = modelXml(meshObject(1, cube(10)), item)
    await expect(measured(fileOf('a.3mf', threeMf(model, others)))).resolves.toMatchObject({ shells: 1, widthMm: 10 })
  })
})

test('layers that nobody prints in, and more of them than can be gone through, are refused', async () => {
  const files = [fileOf('a.stl', block)]
  for (const layerUm of [0, 0.05, -50, 5000, Number.NaN])
    await expect(measureFiles({ files, unit: 'mm', layerUm }, () => {})).rejects.toThrow(/^Layers are 5 to 500 µm high/)
  const large = [fileOf('a.stl', binaryStl(cube(1500)))]
  await expect(measureFiles({ files: large, unit: 'mm', layerUm: 5 }, () => {})).rejects.toThrow(
    /too large to go through/,
  )
})

test('surfaces that lie over each other very often are gone through coarsely, or refused where it must be fine', async () => {
  // Tall and thin: of what is gone through, little is drawn in outline.
  const plate = box({ width: 1, depth: 80, height: 1000 })
  const file = fileOf('a.stl', binaryStl(Array.from({ length: 450 }, () => plate).flat()))
  await expect(sentence(file)).resolves.toMatch(/^These surfaces overlap so many times/)
  const found = await measureFiles({ files: [file], unit: 'mm', layerUm: null }, () => {})
  expect(found).toMatchObject({ overlapping: true, shells: 1, nonManifoldEdges: 18 })
  expect(found.widestLayerMm2 / 80).toBeCloseTo(1, 1)
})

test('what is odd but whole is measured', async () => {
  const needle: Shape = [
    ...cube(10),
    ...moved(cube(10), 0, 0, 10).map((value, at) => (at % 3 === 2 ? value : value / 1e4)),
  ]
  await expect(measured(fileOf('a.stl', binaryStl(needle)))).resolves.toMatchObject({ shells: 2 })
  const soup = Array.from({ length: 900 }, (_, at) => Math.sin(at * 78.233) * 20)
  const found = await measured(fileOf('a.stl', binaryStl(soup)))
  expect(found).toMatchObject({ shells: 100, openEdges: 300 })
  for (const value of [found.volumeMl, found.widestLayerMm2, ...found.front.flat(2)])
    expect(Number.isFinite(value)).toBe(true)
})

test('a single triangle has no volume, but a size', async () => {
  const found = await measured(fileOf('a.stl', binaryStl([0, 0, 0, 10, 0, 5, 0, 10, 9])))
  expect(found).toMatchObject({ shells: 1, openEdges: 3, volumeMl: 0, overlapping: false })
})
