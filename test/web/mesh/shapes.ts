/** Nine numbers a triangle, mm, corners counter-clockwise as seen from outside. */
export type Shape = number[]

type Point = [x: number, y: number, z: number]

export interface Size {
  width: number
  depth: number
  height: number
}

/** With its lower near left corner at the origin. */
export function box({ width: w, depth: d, height: h }: Size): Shape {
  return prism(
    [
      [0, 0],
      [w, 0],
      [w, d],
      [0, d],
    ],
    h,
  )
}

export const cube = (edge: number): Shape => box({ width: edge, depth: edge, height: edge })

/** Upright, on a convex ground that is walked counter-clockwise. */
export function prism(ground: readonly [number, number][], height: number): Shape {
  const low = ground.map(([x, y]): Point => [x, y, 0])
  const high = ground.map(([x, y]): Point => [x, y, height])
  const walls = low.flatMap((point, place) => {
    const next = (place + 1) % low.length
    return quad(point, low[next] as Point, high[next] as Point, high[place] as Point)
  })
  return [...fan(low.toReversed()), ...fan(high), ...walls]
}

function fan([first, ...others]: Point[]): Shape {
  return others.slice(1).flatMap((point, place) => triangle(first as Point, others[place] as Point, point))
}

const triangle = (a: Point, b: Point, c: Point): Shape => [...a, ...b, ...c]
const quad = (a: Point, b: Point, c: Point, d: Point): Shape => [...triangle(a, b, c), ...triangle(a, c, d)]

/** Regular, on one of its faces. */
export function tetrahedron(edge: number): Shape {
  const height = edge * Math.sqrt(2 / 3)
  const radius = edge / Math.sqrt(3)
  const ground = [0, 1, 2].map((third): Point => {
    const angle = (third * 2 * Math.PI) / 3
    return [radius * Math.cos(angle), radius * Math.sin(angle), 0]
  }) as [Point, Point, Point]
  const [a, b, c] = ground
  const top: Point = [0, 0, height]
  return [a, c, b, a, b, top, b, c, top, c, a, top].flat()
}

/** A surface of (rows + 1) x columns points, closed across columns; u runs from 0 to 1 upwards, v around. */
function swept(rows: number, columns: number, at: (u: number, v: number) => Point): Shape {
  const shape: Shape = []
  const point = (row: number, column: number) => at(row / rows, (column % columns) / columns)
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const corners = [
        point(row, column),
        point(row, column + 1),
        point(row + 1, column + 1),
        point(row + 1, column),
      ] as const
      for (const [a, b, c] of [
        [corners[0], corners[1], corners[2]],
        [corners[0], corners[2], corners[3]],
      ] as const)
        if (!isSame(a, b) && !isSame(b, c) && !isSame(c, a)) shape.push(...a, ...b, ...c)
    }
  }
  return shape
}

const isSame = (one: Point, other: Point) => one.every((value, axis) => value === other[axis])

/** Around the origin. @param fine so many steps from pole to pole, twice as many around */
export function sphere(radius: number, fine = 96): Shape {
  return swept(fine, fine * 2, (u, v) => {
    if (u === 0 || u === 1) return [0, 0, u === 0 ? -radius : radius]
    const [up, around] = [Math.PI * (u - 0.5), 2 * Math.PI * v]
    return [radius * Math.cos(up) * Math.cos(around), radius * Math.cos(up) * Math.sin(around), radius * Math.sin(up)]
  })
}

/** Lying around the z axis. @param large radius of its middle line @param small radius of its tube */
export function torus(large: number, small: number, fine = 96): Shape {
  return swept(fine, fine * 2, (u, v) => {
    const [tube, around] = [2 * Math.PI * (u === 1 ? 0 : u), 2 * Math.PI * v]
    const out = large + small * Math.cos(tube)
    return [out * Math.cos(around), out * Math.sin(around), small * Math.sin(tube)]
  })
}

export const moved = (shape: Shape, x: number, y: number, z: number): Shape =>
  shape.map((value, at) => value + ([x, y, z][at % 3] as number))

export const scaled = (shape: Shape, factor: number): Shape => shape.map((value) => value * factor)

export const insideOut = (shape: Shape): Shape =>
  eachPoint(shape, (_, at) => {
    const from = at - (at % 9) + ({ 0: 0, 3: 6, 6: 3 }[at % 9] as number)
    return [shape[from], shape[from + 1], shape[from + 2]] as Point
  })

/** Around an axis through the origin, in degrees. */
export function turned(shape: Shape, axis: 'x' | 'y' | 'z', degrees: number): Shape {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
  return eachPoint(shape, ([x, y, z]) => {
    if (axis === 'x') return [x, y * cos - z * sin, y * sin + z * cos]
    if (axis === 'y') return [x * cos + z * sin, y, z * cos - x * sin]
    return [x * cos - y * sin, x * sin + y * cos, z]
  })
}

function eachPoint(shape: Shape, change: (point: Point, at: number) => Point): Shape {
  const changed: Shape = []
  for (let at = 0; at < shape.length; at += 3)
    changed.push(...change([shape[at] as number, shape[at + 1] as number, shape[at + 2] as number], at))
  return changed
}
