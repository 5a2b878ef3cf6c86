import { SaxesParser } from 'saxes'
import { Refusal } from '../refusal.ts'
import type { Solid } from '../solid.ts'
import { checkTriangles } from './limits.ts'
import { type Model, type ModelObject, modelReader, type Placed, type Transform } from './model.ts'
import { type OnShare, type PartReader, unpack } from './package.ts'

const startPart = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel'
/** Objects within objects within objects: more is a circle, or meant to do harm. */
const mostDeep = 32
const mostCopies = 100_000

/**
 * Reads a 3MF: every copy of a mesh that is to be made is a solid of its own, where the file puts it.
 *
 * @returns in mm
 * @throws Refusal when it can't be read, or reads as more than can be measured
 * @see 3MF core specification 1.4 (3MF Consortium): 3.3 matrices, 3.4 units and items, 4.1 meshes, 4.2 components
 */
export function readThreeMf(name: string, bytes: ArrayBuffer, onShare: OnShare): Solid[] {
  const models = new Map<string, Model>()
  const root: { path?: string } = {}
  const wants = (path: string) => {
    if (path === '_rels/.rels') return relationsReader(root)
    if (!/\.model$/i.test(path)) return null
    const { reader, model } = modelReader(name, path)
    models.set(path, model)
    return reader
  }
  unpack(name, bytes, wants, onShare)
  const first = models.get(root.path ?? '') ?? [...models.values()].find(({ items }) => items.length > 0)
  if (!first || first.items.length === 0) throw new Refusal(`${name} has no model to print.`)
  const objects = new Map([...models.values()].flatMap((model) => [...model.objects]))
  const made: Made = { solids: [], triangles: 0, visits: 0 }
  for (const item of first.items) addCopies(name, item, objects, scaled(first.unitMm), 0, made)
  return made.solids
}

/** Finds in a package's relations where its model is (Open Packaging Conventions). */
function relationsReader(root: { path?: string }): PartReader {
  const parser = new SaxesParser({ position: false })
  parser.on('opentag', ({ attributes: { Type, Target } }) => {
    if (Type === startPart && Target) root.path = String(Target).replace(/^\/+/, '')
  })
  parser.on('error', (error) => {
    throw error
  })
  return { text: (piece) => void parser.write(piece), end: () => void parser.close() }
}

const scaled = (factor: number): Transform => [factor, 0, 0, 0, factor, 0, 0, 0, factor, 0, 0, 0]

/** What has been put together so far. */
interface Made {
  solids: Solid[]
  triangles: number
  visits: number
}

function addCopies(
  name: string,
  { object: key, transform }: Placed,
  objects: ReadonlyMap<string, ModelObject>,
  outer: Transform,
  depth: number,
  made: Made,
): void {
  const object = objects.get(key)
  if (!object) throw new Refusal(`${name} uses an object that is not in it.`)
  if (depth > mostDeep || made.visits++ >= mostCopies)
    throw new Refusal(`${name} has objects inside each other without end.`)
  const all = transform ? product(transform, outer) : outer
  for (const component of object.components) addCopies(name, component, objects, all, depth + 1, made)
  if (object.triangles.length === 0 || object.type === 'other') return
  made.triangles += object.triangles.length / 3
  checkTriangles(made.triangles)
  made.solids.push(copyOf(name, object, all))
}

/** First one, then the other (points are rows before a matrix). */
function product(one: Transform, other: Transform): Transform {
  const at = (matrix: Transform, row: number, column: number) => matrix[row * 3 + column] as number
  return Array.from({ length: 12 }, (_, place) => {
    const [row, column] = [Math.floor(place / 3), place % 3]
    const moved = row === 3 ? at(other, 3, column) : 0
    return [0, 1, 2].reduce((sum, middle) => sum + at(one, row, middle) * at(other, middle, column), moved)
  })
}

/** A mirrored copy has its corners the other way round, so that its volume keeps its sign (3.3). */
function copyOf(name: string, { points, triangles }: ModelObject, transform: Transform): Solid {
  const solid = new Float32Array(triangles.length * 3)
  const order = determinant(transform) < 0 ? [0, 2, 1] : [0, 1, 2]
  for (let triangle = 0; triangle < triangles.length; triangle += 3) {
    order.forEach((corner, place) => {
      const point = triangles.at(triangle + corner)
      if (!Number.isInteger(point) || point < 0 || point * 3 >= points.length)
        throw new Refusal(`${name} has a triangle with corner ${point}, which does not exist.`)
      moveTo(solid, (triangle + place) * 3, points, point * 3, transform)
    })
  }
  return solid
}

function moveTo(
  solid: Solid,
  to: number,
  points: { at(place: number): number },
  from: number,
  transform: Transform,
): void {
  const [x, y, z] = [points.at(from), points.at(from + 1), points.at(from + 2)]
  for (let axis = 0; axis < 3; axis++) {
    const [a, b, c, d] = [transform[axis], transform[axis + 3], transform[axis + 6], transform[axis + 9]] as number[]
    solid[to + axis] = x * (a as number) + y * (b as number) + z * (c as number) + (d as number)
  }
}

function determinant(transform: Transform): number {
  const [a, b, c, d, e, f, g, h, i] = transform as number[]
  return (
    (a as number) * ((e as number) * (i as number) - (f as number) * (h as number)) -
    (b as number) * ((d as number) * (i as number) - (f as number) * (g as number)) +
    (c as number) * ((d as number) * (h as number) - (e as number) * (g as number))
  )
}
