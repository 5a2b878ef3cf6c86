import { describe, expect, test } from 'vitest'
import { mostPoints } from '../../../web/mesh/measure.ts'
import { measureSolids } from '../../../web/mesh/measure-solids.ts'
import { areaOf } from '../../../web/mesh/outline.ts'
import type { Outline } from '../../../web/parts/outline.ts'
import { box, cube, insideOut, moved, type Shape, sphere, tetrahedron, torus, turned } from './shapes.ts'

const measured = (...shapes: Shape[]) =>
  measureSolids(
    shapes.map((shape) => new Float32Array(shape)),
    null,
  )

/** Of the outer ring less its holes; all shapes here have one outer ring, the largest. */
function outlineArea(outline: Outline): number {
  const [outer = 0, ...holes] = outline.map(areaOf)
  return holes.reduce((left, hole) => left - hole, outer)
}

const within = (value: number, expected: number, share: number) =>
  expect(Math.abs(value / expected - 1), `${value} instead of ${expected}`).toBeLessThan(share)

// Formulas: Zwillinger, CRC Standard Mathematical Tables and Formulas (from memory): Platonic solids, sphere, torus.
const solids = [
  {
    name: 'a cube',
    shape: cube(20),
    volumeMm3: 20 ** 3,
    surfaceMm2: 6 * 20 ** 2,
    size: [20, 20, 20],
    widest: { area: 400, at: 0 },
    front: 400,
    above: 400,
    share: 1e-6,
  },
  {
    name: 'a box',
    shape: moved(box({ width: 30, depth: 20, height: 10 }), -100, 50, 7),
    volumeMm3: 6000,
    surfaceMm2: 2 * (600 + 300 + 200),
    size: [30, 20, 10],
    widest: { area: 600, at: 0 },
    front: 300,
    above: 600,
    share: 1e-6,
  },
  {
    name: 'a regular tetrahedron',
    shape: tetrahedron(30),
    volumeMm3: 30 ** 3 / (6 * Math.SQRT2),
    surfaceMm2: Math.sqrt(3) * 30 ** 2,
    size: [(30 * Math.sqrt(3)) / 2, 30, 30 * Math.sqrt(2 / 3)],
    widest: { area: (Math.sqrt(3) / 4) * 900, at: 0 },
    front: (30 * Math.sqrt(2 / 3) * 30 * Math.sqrt(3)) / 4,
    above: (Math.sqrt(3) / 4) * 900,
    share: 1e-6,
  },
  {
    name: 'a sphere',
    shape: sphere(12, 240),
    volumeMm3: (4 / 3) * Math.PI * 12 ** 3,
    surfaceMm2: 4 * Math.PI * 12 ** 2,
    size: [24, 24, 24],
    widest: { area: Math.PI * 144, at: 12 },
    front: Math.PI * 144,
    above: Math.PI * 144,
    share: 5e-4,
  },
  {
    name: 'a torus',
    shape: torus(15, 4, 240),
    volumeMm3: 2 * Math.PI ** 2 * 15 * 4 ** 2,
    surfaceMm2: 4 * Math.PI ** 2 * 15 * 4,
    size: [38, 38, 8],
    widest: { area: Math.PI * (19 ** 2 - 11 ** 2), at: 4 },
    front: 30 * 8 + Math.PI * 16,
    above: Math.PI * (19 ** 2 - 11 ** 2),
    share: 5e-4,
  },
]

describe.each(solids)('$name', ({ shape, volumeMm3, surfaceMm2, size, widest, front, above, share }) => {
  const found = measured(shape)

  test('has the volume and surface of its formula', () => {
    within(found.volumeMl * 1000, volumeMm3, share)
    within(found.surfaceMm2, surfaceMm2, share)
  })

  test('has its size', () => {
    const sizes = [found.widthMm, found.depthMm, found.heightMm]
    for (const [axis, value] of sizes.entries()) within(value, size[axis] as number, 1e-3)
  })

  test('is one closed shell that overlaps nothing', () => {
    expect(found).toMatchObject({ shells: 1, openEdges: 0, nonManifoldEdges: 0, invertedShells: 0, overlapping: false })
    expect(found).toMatchObject({ midAir: null, layerUm: null })
  })

  test('is widest where its formula is', () => {
    within(found.widestLayerMm2, widest.area, 0.01)
    expect(Math.abs(found.widestLayerAtMm - widest.at)).toBeLessThan(0.02 * found.heightMm)
  })

  test('covers the area of its formula, drawn with few points', () => {
    within(outlineArea(found.front), front, 0.005)
    within(outlineArea(found.above), above, 0.005)
    const points = [found.front, found.side, found.above].flat().reduce((sum, ring) => sum + ring.length, 0)
    expect(points).toBeLessThanOrEqual(mostPoints)
    for (const [x, y] of found.front.flat()) {
      expect(x).toBeGreaterThanOrEqual(0)
      expect(x).toBeLessThanOrEqual(found.widthMm + 0.005)
      expect(y).toBeGreaterThanOrEqual(0)
      expect(y).toBeLessThanOrEqual(found.heightMm + 0.005)
    }
  })

  test('is the same inside out, but for one shell that is told', () => {
    const other = measured(insideOut(shape))
    expect(other).toMatchObject({ shells: 1, openEdges: 0, invertedShells: 1, overlapping: false })
    within(other.volumeMl, found.volumeMl, 1e-9)
    within(other.widestLayerMm2, found.widestLayerMm2, 1e-6)
  })
})

test('a torus from above has a hole', () => {
  expect(measured(torus(15, 4)).above).toHaveLength(2)
})

describe('shells', () => {
  test('apart from each other are counted, whether they come in one file or in two', () => {
    const [left, right] = [cube(5), moved(cube(5), 10, 0, 0)]
    const wanted = { shells: 2, overlapping: false, openEdges: 0, nonManifoldEdges: 0 }
    expect(measured([...left, ...right])).toMatchObject(wanted)
    expect(measured(left, right)).toMatchObject(wanted)
    within(measured(left, right).volumeMl, 0.25, 1e-6)
  })

  test('that overlap are told, and the volume counts what they share twice', () => {
    const found = measured([...cube(10), ...moved(cube(10), 5, 5, 5)])
    expect(found).toMatchObject({ shells: 2, overlapping: true })
    within(found.volumeMl, 2, 1e-6)
    // The widest layer counts it once: where both are, 2 x 100 - 25.
    within(found.widestLayerMm2, 175, 0.01)
  })

  test('that only touch do not overlap', () => {
    expect(measured(cube(10), moved(cube(10), 10, 0, 0)).overlapping).toBe(false)
    expect(measured(cube(10), moved(cube(10), 0, 0, 10)).overlapping).toBe(false)
  })

  test('a hollow’s wall faces inwards, and rightly', () => {
    const hollow = [...cube(20), ...insideOut(moved(cube(10), 5, 5, 5))]
    const found = measured(hollow)
    expect(found).toMatchObject({ shells: 2, invertedShells: 0, overlapping: false })
    within(found.volumeMl, 7, 1e-6)
    within(found.widestLayerMm2, 400, 0.01)
    expect(found.widestLayerAtMm).toBe(0)
  })

  test('one inside out beside another is told, and its volume counts', () => {
    const found = measured([...cube(10), ...insideOut(moved(cube(10), 30, 0, 0))])
    expect(found).toMatchObject({ shells: 2, invertedShells: 1 })
    within(found.volumeMl, 2, 1e-6)
  })
})

describe('holes', () => {
  test('of one triangle have three open edges', () => {
    const found = measured(cube(10).slice(9))
    expect(found).toMatchObject({ shells: 1, openEdges: 3, nonManifoldEdges: 0, invertedShells: 0 })
  })

  test('do not leak: the widest layer is that of the whole', () => {
    const ball = sphere(10, 48)
    const found = measured(ball.slice(0, -90))
    within(found.widestLayerMm2, Math.PI * 100, 0.01)
  })

  test('an edge of four triangles is not manifold', () => {
    const found = measured([...cube(10), ...moved(cube(10), 10, 10, 0)])
    expect(found).toMatchObject({ openEdges: 0, nonManifoldEdges: 1 })
  })

  test('a triangle turned over has three edges that do not fit', () => {
    const shape = cube(10)
    expect(measured([...insideOut(shape.slice(0, 9)), ...shape.slice(9)])).toMatchObject({ nonManifoldEdges: 3 })
  })

  test('triangles without an area of their own are no shells', () => {
    const point = [5, 5, 5]
    const found = measured([...cube(10), ...point, ...point, ...point])
    expect(found).toMatchObject({ shells: 1, openEdges: 0 })
  })
})

test('what leans keeps its volume and surface', () => {
  const shape = turned(turned(torus(15, 4, 96), 'x', 33), 'y', 71)
  const found = measured(shape)
  within(found.volumeMl, measured(torus(15, 4, 96)).volumeMl, 1e-5)
  within(found.surfaceMm2, measured(torus(15, 4, 96)).surfaceMm2, 1e-5)
  expect(found).toMatchObject({ shells: 1, openEdges: 0, overlapping: false })
})
