import { describe, expect, test } from 'vitest'
import { measureFiles } from '../../../web/mesh/measure-files.ts'
import { coreNamespace, fileOf, meshObject, modelXml, threeMf } from './files.ts'
import { box, cube, insideOut, moved, type Shape, scaled, tetrahedron } from './shapes.ts'

// What a 3MF means: 3MF Consortium, 3D Manufacturing Format, Core Specification 1.4, whose sections are named; and its
// Production Extension 1.2.

const measured = (model: string, others: Record<string, string> = {}, path?: string) =>
  measureFiles({ files: [fileOf('a.3mf', threeMf(model, others, path))], unit: 'mm', layerUm: null }, () => {})

const item = (objectid: number, more = '') => `<item objectid="${objectid}" ${more}/>`
const block = box({ width: 3, depth: 2, height: 1 })

test.each([
  ['', 1],
  ['unit="micron"', 0.001],
  ['unit="millimeter"', 1],
  ['unit="centimeter"', 10],
  ['unit="inch"', 25.4],
  ['unit="foot"', 304.8],
  ['unit="meter"', 1000],
])('3.4: a model with %s is in units of %d mm', async (unit, mm) => {
  const { widthMm, heightMm } = await measured(modelXml(meshObject(1, scaled(block, 0.1)), item(1), unit))
  expect(widthMm / (0.3 * mm)).toBeCloseTo(1, 6)
  expect(heightMm / (0.1 * mm)).toBeCloseTo(1, 6)
})

describe('3.3: transforms', () => {
  test('are rows of a matrix that points are multiplied with from the left', async () => {
    // x goes to y, y to z, z to x, each by a factor of its own; then all moves.
    const transform = 'transform="0 2 0  0 0 3  5 0 0  100 200 300"'
    const found = await measured(modelXml(meshObject(1, block), item(1, transform)))
    expect([found.widthMm, found.depthMm, found.heightMm]).toEqual([5, 6, 6])
    expect(found.volumeMl).toBeCloseTo((6 * 30) / 1000, 6)
  })

  test('with a negative determinant do not change the sign of a volume', async () => {
    const mirrored = await measured(
      modelXml(meshObject(1, tetrahedron(10)), item(1, 'transform="-1 0 0 0 1 0 0 0 1 0 0 0"')),
    )
    expect(mirrored).toMatchObject({ invertedShells: 0, openEdges: 0 })
    expect(mirrored.volumeMl).toBeCloseTo(1 / (6 * Math.SQRT2), 6)
    // The tetrahedron has a corner on the right, so its mirror image has it on the left.
    const right = (await measured(modelXml(meshObject(1, tetrahedron(10)), item(1)))).front
    const top = (outline: typeof right) => outline.flat().toSorted(([, a], [, b]) => b - a)[0]?.[0] as number
    expect(top(mirrored.front)).toBeCloseTo(mirrored.widthMm - top(right), 0)
  })

  test('of an item come after those of its components, from the inside out', async () => {
    const assembly = `<object id="2"><components><component objectid="1" transform="1 0 0 0 1 0 0 0 1 7 0 0"/></components></object>`
    const cubes = meshObject(1, cube(1)) + assembly + meshObject(3, cube(1))
    // Moved by 7, then made twice as large: it ends at 16.
    const found = await measured(modelXml(cubes, item(2, 'transform="2 0 0 0 2 0 0 0 2 0 0 0"') + item(3)))
    expect([found.widthMm, found.heightMm, found.shells]).toEqual([16, 2, 2])
  })
})

test('3.4.3: what no item names is not made', async () => {
  const found = await measured(modelXml(meshObject(1, cube(1)) + meshObject(2, cube(50)), item(1)))
  expect([found.widthMm, found.shells]).toEqual([1, 1])
})

test('3.4.3.1: an item is made as often as it is named', async () => {
  const away = 'transform="1 0 0 0 1 0 0 0 1 20 0 0"'
  expect(await measured(modelXml(meshObject(1, cube(10)), item(1) + item(1, away)))).toMatchObject({
    shells: 2,
    widthMm: 30,
  })
})

test('4: objects of type “other” are not made, supports are', async () => {
  const [other, support] = [
    meshObject(1, cube(50), 'type="other"'),
    meshObject(2, moved(cube(1), 9, 0, 0), 'type="support"'),
  ]
  const whole =
    '<object id="4"><components><component objectid="1"/><component objectid="2"/><component objectid="3"/></components></object>'
  const found = await measured(modelXml(other + support + meshObject(3, cube(1)) + whole, item(4)))
  expect([found.widthMm, found.shells]).toEqual([10, 2])
})

test('4.1.1: where solids overlap, what is inside one of them is filled; a shell that faces inwards is a void', async () => {
  const overlapping = await measured(
    modelXml(meshObject(1, cube(10)), item(1) + item(1, 'transform="1 0 0 0 1 0 0 0 1 5 0 0"')),
  )
  expect(overlapping.overlapping).toBe(true)
  expect(overlapping.widestLayerMm2).toBeCloseTo(150, 0)
  const hollow: Shape = [...cube(10), ...insideOut(moved(cube(4), 3, 3, 3))]
  expect((await measured(modelXml(meshObject(1, hollow), item(1)))).volumeMl).toBeCloseTo(0.936, 6)
})

test('4.2: components of components are put together, as often as they are named', async () => {
  const row = (id: number, of: number, step: number) =>
    `<object id="${id}"><components>${[0, 1, 2]
      .map((place) => `<component objectid="${of}" transform="1 0 0 0 1 0 0 0 1 ${place * step} 0 0"/>`)
      .join('')}</components></object>`
  const found = await measured(modelXml(meshObject(1, cube(1)) + row(2, 1, 2) + row(3, 2, 10), item(3)))
  expect(found).toMatchObject({ shells: 9, widthMm: 25 })
})

test('2.3.3.1: elements of other namespaces are none of the core’s, and the core may have a prefix', async () => {
  const slices =
    '<s:vertex xmlns:s="urn:of-somebody-else" x="900" y="0" z="0"/><s:triangle xmlns:s="urn:of-somebody-else" v1="9"/>'
  const model = modelXml(meshObject(1, cube(1)).replace('<vertices>', `<vertices>${slices}`), item(1))
  expect((await measured(model)).widthMm).toBe(1)
  const prefixed = model
    .replaceAll(/<(\/?)(model|resources|object|mesh|vertices|vertex|triangles|triangle|build|item)\b/g, '<$1c:$2')
    .replace('xmlns=', 'xmlns:c=')
  expect(prefixed).toContain(`<c:model xmlns:c="${coreNamespace}"`)
  expect((await measured(prefixed)).widthMm).toBe(1)
})

test('2.1: the model is where the package’s relation says', async () => {
  const [real, decoy] = [modelXml(meshObject(1, cube(2)), item(1)), modelXml(meshObject(1, cube(9)), item(1))]
  expect((await measured(real, { '3D/3dmodel.model': decoy }, 'elsewhere/figure.model')).widthMm).toBe(2)
})

test('Production Extension: objects of other parts are found by their path', async () => {
  const p = 'xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" requiredextensions="p"'
  const root = modelXml(
    '<object id="1"><components><component p:path="/3D/Objects/arm.model" objectid="1" transform="1 0 0 0 1 0 0 0 1 5 0 0"/></components></object>',
    `${item(1)}<item p:path="/3D/Objects/arm.model" objectid="1"/>`,
    p,
  )
  const found = await measured(root, { '3D/Objects/arm.model': modelXml(meshObject(1, cube(2)), '') })
  expect(found).toMatchObject({ shells: 2, widthMm: 7 })
})
