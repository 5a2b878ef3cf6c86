import { contours } from 'd3-contour'
import simplify from 'simplify-js'
import type { Outline } from '../parts/outline.ts'
import { castRays, isTooMany, tangled } from './rays.ts'
import type { Box, Solid } from './solid.ts'

/** Where one looks from: the axis along which, then those that run to the right and upwards. */
export const views = { front: [1, 0, 2], side: [0, 1, 2], above: [2, 0, 1] } as const

/** Cells along the longer side; fewer where surfaces lie over each other very often. */
const cells = [480, 240, 120, 60]
/** Rings smaller than this share of the largest are left out. */
const leastShare = 0.002

type Ring = [number, number][]

/**
 * What solids cover, seen from one side: on a grid of cells, whose edge is then drawn with few points.
 *
 * @param castMm2 how large all their triangles are from there
 * @param most so many points at most, at least 4
 * @returns rings in mm from the lower left corner of the box
 * @throws Refusal when surfaces lie over each other more often than can be gone through
 */
export function outlineOf(
  solids: readonly Solid[],
  box: Box,
  axes: (typeof views)[keyof typeof views],
  castMm2: number,
  most: number,
): Outline {
  const [, across, up] = axes
  const [width, height] = [box.max[across] - box.min[across], box.max[up] - box.min[up]]
  const cell = cells.map((count) => Math.max(width, height) / count).find((size) => !isTooMany(castMm2, size, size))
  if (cell === undefined) throw tangled()
  const columns = Math.max(1, Math.round(width / cell))
  const rows = Math.max(1, Math.round(height / cell))
  const column = { from: box.min[across], step: width / columns, count: columns }
  const row = { from: box.min[up], step: height / rows, count: rows }
  // With an empty cell around, so that every ring closes.
  const covered = new Uint8Array((columns + 2) * (rows + 2))
  for (const solid of solids) {
    castRays(solid, null, { axes, column, row }, (ray) => {
      const at = (Math.floor(ray / columns) + 1) * (columns + 2) + (ray % columns) + 1
      covered[at] = 1
    })
  }
  const place = ([x, y]: [number, number]): [number, number] => [
    within((x - 1) * column.step, width),
    within((y - 1) * row.step, height),
  ]
  const outline = fewPoints(
    ringsOf(covered, columns + 2, rows + 2).map((ring) => ring.map(place)),
    cell,
    most,
  )
  return outline.length > 0 ? outline : [boxOf(hundredths(width), hundredths(height))]
}

/** Stands for what is thinner than a cell. */
const boxOf = (width: number, height: number): Ring => [
  [0, 0],
  [width, 0],
  [width, height],
  [0, height],
]

const within = (value: number, most: number) => Math.min(Math.max(value, 0), most)

/** Outer rings and the holes in them; the last point is not the first again. */
function ringsOf(covered: Uint8Array, columns: number, rows: number): Ring[] {
  const [shape] = contours().size([columns, rows]).smooth(true).thresholds([0.5])(Array.from(covered))
  return (shape?.coordinates ?? []).flat().map((ring) => ring.slice(0, -1) as Ring)
}

/** Lets more and more of the edge go until there are few enough points. */
function fewPoints(rings: readonly Ring[], cell: number, most: number): Outline {
  const areas = rings.map(areaOf)
  const least = Math.max(...areas) * leastShare
  const large = rings
    .map((ring, place) => ({ ring, area: areas[place] as number }))
    .filter(({ area }) => area >= least)
    .toSorted((one, other) => other.area - one.area)
    .slice(0, Math.floor(most / 4))
  for (let tolerance = cell / 2; ; tolerance *= 1.15) {
    const outline = large.map(({ ring }) => simplified(ring, tolerance)).filter((ring) => ring.length > 2)
    if (outline.reduce((sum, ring) => sum + ring.length, 0) <= most)
      return outline.map((ring) => ring.map(([x, y]) => [hundredths(x), hundredths(y)]))
  }
}

/** Two halves, since a ring has no ends that stay: from its lowest point to the one furthest from it, and back. */
function simplified(ring: Ring, tolerance: number): Ring {
  const points = ring.map(([x, y]) => ({ x, y }))
  const start = extreme(points, ({ y }) => -y)
  const from = points[start] as { x: number; y: number }
  const turned = [...points.slice(start), ...points.slice(0, start)]
  const far = extreme(turned, ({ x, y }) => (x - from.x) ** 2 + (y - from.y) ** 2)
  const there = simplify(turned.slice(0, far + 1), tolerance, true)
  const back = simplify([...turned.slice(far), from], tolerance, true)
  return [...there.slice(0, -1), ...back.slice(0, -1)].map(({ x, y }) => [x, y])
}

function extreme<Point>(points: readonly Point[], by: (point: Point) => number): number {
  let best = 0
  points.forEach((point, place) => {
    if (by(point) > by(points[best] as Point)) best = place
  })
  return best
}

const hundredths = (mm: number) => Math.round(mm * 100) / 100

/** By the shoelace formula, mm2; holes count as well. */
export function areaOf(ring: readonly (readonly [number, number])[]): number {
  let twice = 0
  ring.forEach(([x, y], place) => {
    const [nextX, nextY] = ring[(place + 1) % ring.length] as readonly [number, number]
    twice += x * nextY - nextX * y
  })
  return Math.abs(twice) / 2
}
