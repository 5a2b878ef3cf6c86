/** Closed shells of triangles, mm, z up, seen from the front along y; what the figures of the demo are put together from. */
export type Solid = Float32Array
export type Point = readonly [x: number, y: number, z: number]

/** One ring of a stack: an ellipse in the plane of z. */
export interface Ring {
  z: number
  rx: number
  ry?: number
  x?: number
  y?: number
}

/** A stack of rings, the lowest first, closed by flat caps: bodies, cloaks, hats, buckets. */
export function stack(rings: readonly Ring[], sides = 14): Solid {
  const loops = rings.map(({ z, rx, ry = rx, x = 0, y = 0 }) =>
    around(sides).map(([cos, sin]): Point => [x + rx * cos, y + ry * sin, z]),
  )
  return skin(loops)
}

/** A ball, or an egg with three radii. */
export function ball([x, y, z]: Point, [rx, ry, rz]: Point, sides = 14): Solid {
  const steps = [-0.98, -0.8, -0.5, 0, 0.5, 0.8, 0.98]
  return stack(
    steps.map((step) => {
      const width = Math.sqrt(1 - step * step)
      return { z: z + rz * step, rx: rx * width, ry: ry * width, x, y }
    }),
    sides,
  )
}

/** A round bar along a line, with a radius at each of its points: limbs, poles, necks, horns. */
export function bar(line: readonly Point[], radii: number | readonly number[], sides = 8): Solid {
  const loops = line.map((at, index) => {
    const along = unit(minus(line[Math.min(index + 1, line.length - 1)] ?? at, line[Math.max(index - 1, 0)] ?? at))
    const across = unit(cross(along, Math.abs(along[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0]))
    const other = cross(along, across)
    const radius = typeof radii === 'number' ? radii : (radii[index] ?? 0.3)
    return around(sides).map(
      ([cos, sin]): Point => [
        at[0] + radius * (cos * across[0] + sin * other[0]),
        at[1] + radius * (cos * across[1] + sin * other[1]),
        at[2] + radius * (cos * across[2] + sin * other[2]),
      ],
    )
  })
  return skin(loops)
}

/** A convex outline of the front (x, z), counter-clockwise, so thick in y: cloth, shields, blades, walls, hulls. */
export function slab(outline: readonly (readonly [x: number, z: number])[], y: number, thick: number): Solid {
  return skin([y + thick / 2, y - thick / 2].map((depth) => outline.map(([x, z]): Point => [x, depth, z])))
}

/** A box by its middle and its size. */
export function block([x, y, z]: Point, [width, depth, height]: Point): Solid {
  const [w, h] = [width / 2, height / 2]
  const corners = [
    [x - w, z - h],
    [x + w, z - h],
    [x + w, z + h],
    [x - w, z + h],
  ] as const
  return slab(corners, y, depth)
}

/** Points of an arc in the plane of the front. @param from and to, degrees, 0 to the right, counter-clockwise */
export function arc([x, y, z]: Point, radius: number, from: number, to: number, steps = 10): Point[] {
  return Array.from({ length: steps + 1 }, (_, step) => {
    const angle = ((from + ((to - from) * step) / steps) * Math.PI) / 180
    return [x + radius * Math.cos(angle), y, z + radius * Math.sin(angle)]
  })
}

export interface Placing {
  by?: Point
  scale?: number
  /** Turned about the z axis, degrees. */
  turned?: number
  /** Leant to the right in the plane of the front, degrees. */
  leant?: number
}

/** The same solids elsewhere: first larger or smaller, then leant, then turned, then moved. */
export function placed(
  solids: readonly Solid[],
  { by = [0, 0, 0], scale = 1, turned = 0, leant = 0 }: Placing,
): Solid[] {
  const [turn, lean] = [(turned * Math.PI) / 180, (-leant * Math.PI) / 180]
  return solids.map((solid) => {
    const moved = new Float32Array(solid.length)
    for (let at = 0; at < solid.length; at += 3) {
      const [x, y, z] = [0, 1, 2].map((axis) => (solid[at + axis] as number) * scale) as [number, number, number]
      const [leantX, leantZ] = [x * Math.cos(lean) - z * Math.sin(lean), x * Math.sin(lean) + z * Math.cos(lean)]
      moved[at] = leantX * Math.cos(turn) - y * Math.sin(turn) + by[0]
      moved[at + 1] = leantX * Math.sin(turn) + y * Math.cos(turn) + by[1]
      moved[at + 2] = leantZ + by[2]
    }
    return moved
  })
}

/**
 * A convex solid and the wall of the hollow in it, which faces inwards; nobody prints a house full of resin.
 * @param leastMm what is thinner is printed full
 */
export function hollow(solid: Solid, leastMm = 20, wallMm = 2.5): Solid[] {
  const sizes = [0, 1, 2].map((axis) => {
    const along = solid.filter((_, at) => at % 3 === axis)
    const [least, most] = [Math.min(...along), Math.max(...along)]
    return { middle: (least + most) / 2, size: most - least, share: 1 - (2 * wallMm) / (most - least) }
  })
  if (sizes.some(({ size }) => size < leastMm)) return [solid]
  const inner = Float32Array.from(solid, (value, at) => {
    const { middle = 0, share = 0 } = sizes[at % 3] ?? {}
    return middle + (value - middle) * share
  })
  for (let at = 0; at < inner.length; at += 9) {
    const [second, third] = [inner.slice(at + 3, at + 6), inner.slice(at + 6, at + 9)]
    inner.set(third, at + 3)
    inner.set(second, at + 6)
  }
  return [solid, inner]
}

/** Loops of as many points each, joined to one another and closed at both ends. */
function skin(loops: readonly (readonly Point[])[]): Solid {
  const triangles: Point[] = []
  loops.slice(1).forEach((upper, index) => {
    const lower = loops[index] ?? []
    lower.forEach((point, place) => {
      const next = (place + 1) % lower.length
      const [low, high, top] = [lower[next], upper[next], upper[place]] as [Point, Point, Point]
      triangles.push(point, low, high, point, high, top)
    })
  })
  triangles.push(...cap([...(loops[0] ?? [])].reverse()), ...cap(loops.at(-1) ?? []))
  return Float32Array.from(triangles.flat())
}

const cap = (loop: readonly Point[]): Point[] =>
  loop.slice(2).flatMap((point, index) => [loop[0], loop[index + 1], point] as Point[])

const around = (sides: number) =>
  Array.from({ length: sides }, (_, side) => {
    const angle = (2 * Math.PI * side) / sides
    return [Math.cos(angle), Math.sin(angle)] as const
  })

const minus = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
function unit(a: Point): Point {
  const length = Math.hypot(...a) || 1
  return [a[0] / length, a[1] / length, a[2] / length]
}
