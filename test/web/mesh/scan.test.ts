import { cells, positions } from 'bunny'
import Module, { type Manifold } from 'manifold-3d'
import { beforeAll, describe, expect, test } from 'vitest'
import { measureSolids } from '../../../web/mesh/measure-solids.ts'
import { areaOf } from '../../../web/mesh/outline.ts'
import { moved, type Shape, scaled, turned } from './shapes.ts'

/*
 * A scan of the Stanford bunny, as the npm package `bunny` has it, against manifold-3d, a library of its own for solids:
 * its volumes, surfaces, cross-sections and projections.
 */

const scan: Shape = cells.flatMap((corners) => corners.flatMap((corner) => positions[corner] as number[]))
const upright = scaled(turned(scan, 'x', 90), 5)

const poses: [string, Shape][] = [
  ['upright', upright],
  ['on its side', turned(upright, 'y', 90)],
  ['leaning', turned(turned(upright, 'x', 27), 'y', 61)],
  ['far away', moved(upright, 500, -300, 80)],
]

const { Manifold: Solid, Mesh } = await Module().then((module) => {
  module.setup()
  return module
})

function solidOf(shape: Shape): Manifold {
  const triVerts = Uint32Array.from({ length: shape.length / 3 }, (_, corner) => corner)
  const mesh = new Mesh({ numProp: 3, vertProperties: new Float32Array(shape), triVerts })
  mesh.merge()
  return new Solid(mesh)
}

const measured = (...shapes: Shape[]) =>
  measureSolids(
    shapes.map((shape) => new Float32Array(shape)),
    null,
  )

function within(value: number, expected: number, share: number): void {
  expect(Math.abs(value / expected - 1), `${value} instead of ${expected}`).toBeLessThan(share)
}

describe.each(poses)('a scanned rabbit, %s', (_, shape) => {
  let found: ReturnType<typeof measured>
  let solid: Manifold
  beforeAll(() => {
    found = measured(shape)
    solid = solidOf(shape)
  })

  test('has the volume, surface and size that the library finds', () => {
    const { min, max } = solid.boundingBox()
    within(found.volumeMl * 1000, solid.volume(), 1e-6)
    within(found.surfaceMm2, solid.surfaceArea(), 1e-6)
    for (const [axis, size] of [found.widthMm, found.depthMm, found.heightMm].entries())
      within(size, (max[axis] as number) - (min[axis] as number), 1e-5)
    expect(found).toMatchObject({ shells: 1, openEdges: 0, nonManifoldEdges: 0, invertedShells: 0, overlapping: false })
  })

  test('is widest where the library’s cross-sections are', () => {
    const low = solid.boundingBox().min[2]
    const sections = Array.from({ length: 400 }, (_, place) => {
      return solid.slice(low + ((place + 0.5) / 400) * found.heightMm).area()
    })
    within(found.widestLayerMm2, Math.max(...sections), 0.005)
    within(solid.slice(low + found.widestLayerAtMm).area(), Math.max(...sections), 0.01)
  })

  test('casts the shadow of the library’s projection', () => {
    const [outer = [], ...holes] = found.above
    const area = holes.reduce((left, hole) => left - areaOf(hole), areaOf(outer))
    within(area, solid.project().area(), 0.01)
  })
})

test('two rabbits in each other: the volume is an upper bound, the widest layer is that of the library’s union', () => {
  const other = moved(upright, 12, 3, 0)
  const [found, union] = [measured(upright, other), solidOf(upright).add(solidOf(other))]
  expect(found).toMatchObject({ shells: 2, overlapping: true })
  within(found.volumeMl * 1000, 2 * solidOf(upright).volume(), 1e-6)
  expect(found.volumeMl * 1000).toBeGreaterThan(union.volume())
  const sections = Array.from({ length: 300 }, (_, place) => {
    return union.slice(union.boundingBox().min[2] + ((place + 0.5) / 300) * found.heightMm).area()
  })
  within(found.widestLayerMm2, Math.max(...sections), 0.005)
})
