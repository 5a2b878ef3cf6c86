import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { measureSolids } from '../../../web/mesh/measure-solids.ts'
import { box, cube, insideOut, moved, type Shape, sphere, turned } from './shapes.ts'

// What begins in mid-air of each of these is seen by looking at it: no source, each is made so that there is no doubt.

const layerUm = 50

const starts = (...shapes: Shape[]) =>
  measureSolids(
    shapes.map((shape) => new Float32Array(shape)),
    layerUm,
  ).midAir ?? []

const part = (width: number, depth: number, height: number, x: number, y: number, z: number): Shape =>
  moved(box({ width, depth, height }), x, y, z)

/** Parts reach into each other by a tenth of a millimetre, as a sculptor's do. */
const table = [
  ...[0, 17].flatMap((x) => [0, 9].flatMap((y) => part(3, 3, 10.1, x, y, 0))),
  ...part(20, 12, 2, 0, 0, 10),
]
const tee = [...part(4, 4, 10.1, 8, 0, 0), ...part(20, 4, 3, 0, 0, 10)]
const teeth = 5
/** A post that carries a bar, from which teeth hang down to 6 mm above the plate. */
const comb = [
  ...part(3, 4, 15, 0, 0, 0),
  ...part(30, 4, 3, 0, 0, 12),
  ...Array.from({ length: teeth }, (_, tooth) => part(2, 2, 6.1, 6 + tooth * 5, 1, 6)).flat(),
]
const floating = [...part(20, 20, 1, 0, 0, 0), ...part(4, 4, 4, 8, 8, 11)]

const angles = [0, 17, 45, 90, 133, 270]

describe.each(angles)('turned by %d degrees', (degrees) => {
  const seen = (shape: Shape) => starts(turned(shape, 'z', degrees))

  test('nothing of a table begins in mid-air', () => {
    expect(seen(table)).toEqual([])
  })

  test('nothing of a T does: it grows outwards', () => {
    expect(seen(tee)).toEqual([])
  })

  test('a floating cube does, once, where it is and as large as it is', () => {
    const [start, ...others] = seen(floating)
    expect(others).toEqual([])
    expect(start?.heightMm).toBeCloseTo(11, 5)
    expect(start?.areaMm2).toBeGreaterThan(15.5)
    expect(start?.areaMm2).toBeLessThan(16.5)
    // The cube is above the middle of the plate, and stays there.
    const { widthMm, depthMm } = measureSolids([new Float32Array(turned(floating, 'z', degrees))], null)
    expect(start?.xMm).toBeCloseTo(widthMm / 2, 0)
    expect(start?.yMm).toBeCloseTo(depthMm / 2, 0)
  })

  test('of a comb that hangs down as many as there are teeth', () => {
    const found = seen(comb)
    expect(found).toHaveLength(teeth)
    for (const { heightMm, areaMm2 } of found) {
      expect(heightMm).toBeCloseTo(6, 5)
      expect(areaMm2).toBeGreaterThan(3.7)
      expect(areaMm2).toBeLessThan(4.3)
    }
  })
})

test('teeth are told from left to right where they hang', () => {
  const places = starts(comb).map(({ xMm }) => xMm)
  for (const [tooth, x] of places.toSorted((one, other) => one - other).entries())
    expect(x).toBeCloseTo(7 + tooth * 5, 1)
})

test('a cube on its corner begins on the plate; one above it on its corner does not', () => {
  const onCorner = turned(turned(cube(8), 'x', 45), 'y', 35.264)
  expect(starts(onCorner)).toEqual([])
  expect(starts([...part(20, 20, 1, -5, -5, -10), ...onCorner])).toHaveLength(1)
})

test('an arch stands on both feet; upside down it lies on its back', () => {
  const arch = [...part(3, 3, 10.1, 0, 0, 0), ...part(3, 3, 10.1, 15, 0, 0), ...part(18, 3, 3, 0, 0, 10)]
  expect(starts(arch)).toEqual([])
  expect(starts(turned(arch, 'x', 180))).toEqual([])
})

test('what floats and has two feet begins twice', () => {
  const stool = [...part(3, 3, 5.1, 2, 0, 5), ...part(3, 3, 5.1, 15, 0, 5), ...part(18, 3, 3, 0, 0, 10)]
  expect(starts([...part(20, 5, 1, 0, -1, 0), ...stool])).toHaveLength(2)
})

test('a foot a hair above the plate stands on it', () => {
  expect(starts([...part(5, 5, 5, 0, 0, 0), ...part(5, 5, 5, 10, 0, 0.06)])).toEqual([])
})

test('a ball above the plate is as large as its middle; a support under it takes it away', () => {
  const ball = moved(sphere(5, 64), 10, 10, 12)
  const [start] = starts([...part(20, 20, 1, 0, 0, 0), ...ball])
  expect(start?.heightMm).toBeCloseTo(7, 0)
  expect((start?.areaMm2 ?? 0) / (Math.PI * 25)).toBeCloseTo(1, 1)
  expect(starts([...part(20, 20, 1, 0, 0, 0), ...ball, ...part(0.5, 0.5, 7, 9.75, 9.75, 0.5)])).toEqual([])
})

test('the ceiling of a hollow grows from its walls', () => {
  expect(starts([...cube(20), ...insideOut(part(10, 10, 10, 5, 5, 5))])).toEqual([])
})

test('what hangs inside a hollow begins in mid-air as well', () => {
  const inside = [...insideOut(part(14, 14, 14, 3, 3, 3)), ...part(2, 2, 6, 9, 9, 7)]
  expect(starts([...cube(20), ...inside])).toHaveLength(1)
})

test('a thin support that leans by 45 degrees holds on to itself', () => {
  const strut = moved(turned(part(0.3, 0.3, 20, 0, 0, 0), 'y', 45), 0, 0, -0.3)
  expect(starts([...part(30, 5, 1, -2, -2, -1), ...strut])).toEqual([])
})

test('as many are found as float, wherever they are and however the whole is turned', () => {
  const place = fc.record({
    x: fc.integer({ min: 0, max: 4 }),
    y: fc.integer({ min: 0, max: 4 }),
    z: fc.integer({ min: 1, max: 6 }),
  })
  const places = fc.uniqueArray(place, { maxLength: 8, selector: ({ x, y }) => `${x} ${y}` })
  fc.assert(
    fc.property(places, fc.integer({ min: 0, max: 359 }), (cubes, degrees) => {
      const shape = [
        ...part(30, 30, 1, 0, 0, 0),
        ...cubes.flatMap(({ x, y, z }) => part(3, 3, 3, 1 + x * 6, 1 + y * 6, z * 3)),
      ]
      const heights = starts(turned(shape, 'z', degrees)).map(({ heightMm }) => Math.round(heightMm))
      expect(heights).toEqual(cubes.map(({ z }) => z * 3).toSorted((one, other) => one - other))
    }),
    { numRuns: 15 },
  )
})
