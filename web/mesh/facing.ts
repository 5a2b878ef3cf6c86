import type { Shells } from './shells.ts'

/** A shell that has less of a volume than this, compared with its surface, faces neither way. */
const flat = 1e-6
/** So many at most are looked at, the largest first; thousands are a broken file. */
const most = 2000

/** A shell that faces inwards: a wrong one, or the wall of a hollow inside another shell. */
interface Inward {
  shells: Shells
  shell: number
  /** A point of it. */
  x: number
  y: number
  z: number
  /** How many shells the point is inside. */
  depth: number
}

/**
 * Which shells are turned inside out. One that faces inwards inside another shell is the wall of a hollow, and right.
 *
 * @returns for each entry of the list, 1 for each of its shells that is turned
 */
export function turnedShells(all: readonly Shells[]): Uint8Array[] {
  const inward = inwardShells(all)
  if (inward.length > 0) for (const shells of all) countAround(shells, inward)
  return all.map((shells) => {
    const turned = new Uint8Array(shells.count)
    for (const one of inward) if (one.shells === shells && one.depth <= 0) turned[one.shell] = 1
    return turned
  })
}

/** By the height of their points. */
function inwardShells(all: readonly Shells[]): Inward[] {
  const found: Inward[] = []
  for (const shells of all) {
    const first = firstTriangles(shells)
    for (let shell = 0; shell < shells.count; shell++) {
      const surface = shells.surfaceMm2[shell] as number
      if ((shells.volumeMm3[shell] as number) < -flat * surface ** 1.5)
        found.push({ shells, shell, ...pointIn(shells, first[shell] as number), depth: 0 })
    }
  }
  const largest = found.toSorted((one, other) => volumeOf(one) - volumeOf(other)).slice(0, most)
  return largest.toSorted((one, other) => one.z - other.z)
}

const volumeOf = ({ shells, shell }: Inward) => shells.volumeMm3[shell] as number

function firstTriangles({ of, count }: Shells): Int32Array {
  const first = new Int32Array(count)
  for (let triangle = of.length - 1; triangle >= 0; triangle--) {
    const shell = of[triangle] as number
    if (shell >= 0) first[shell] = triangle
  }
  return first
}

/** A point inside a triangle, at no even share of it: a ray from there seldom meets an edge. */
function pointIn({ solid }: Shells, triangle: number): { x: number; y: number; z: number } {
  const at = triangle * 9
  const mixed = (axis: number) =>
    0.4142 * (solid[at + axis] as number) +
    0.3137 * (solid[at + 3 + axis] as number) +
    0.2721 * (solid[at + 6 + axis] as number)
  return { x: mixed(0), y: mixed(1), z: mixed(2) }
}

/** Adds, for each point, how often a ray from it along x leaves these shells more than it enters them. */
function countAround(shells: Shells, inward: Inward[]): void {
  const { solid, of, volumeMm3 } = shells
  for (let triangle = 0, at = 0; triangle < of.length; triangle++, at += 9) {
    const shell = of[triangle] as number
    if (shell < 0 || (volumeMm3[shell] as number) <= 0) continue
    const az = solid[at + 2] as number
    const bz = solid[at + 5] as number
    const cz = solid[at + 8] as number
    const high = Math.max(az, bz, cz)
    for (let place = firstAbove(inward, Math.min(az, bz, cz)); place < inward.length; place++) {
      const one = inward[place] as Inward
      if (one.z >= high) break
      one.depth += passing(solid, at, one)
    }
  }
}

/** 1 where a ray from a point along x leaves through a triangle, -1 where it enters, 0 where it misses. */
function passing(solid: Float32Array, at: number, { x, y, z }: Inward): number {
  let crossings = 0
  for (let corner = 0; corner < 9; corner += 3) {
    const next = corner === 6 ? 0 : corner + 3
    const [y1, z1] = [(solid[at + corner + 1] as number) - y, (solid[at + corner + 2] as number) - z]
    const [y2, z2] = [(solid[at + next + 1] as number) - y, (solid[at + next + 2] as number) - z]
    if (z1 <= 0 !== z2 <= 0) {
      const side = y1 * z2 - y2 * z1
      if (z2 > z1 ? side > 0 : side < 0) crossings += z2 > z1 ? 1 : -1
    }
  }
  if (crossings === 0) return 0
  return aheadOf(solid, at, x, y, z) ? crossings : 0
}

/** Whether the plane of a triangle is met by the ray after x. */
function aheadOf(solid: Float32Array, at: number, x: number, y: number, z: number): boolean {
  const of = (place: number) => solid[at + place] as number
  const [ux, uy, uz] = [of(3) - of(0), of(4) - of(1), of(5) - of(2)]
  const [vx, vy, vz] = [of(6) - of(0), of(7) - of(1), of(8) - of(2)]
  const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
  return of(0) - ((y - of(1)) * ny + (z - of(2)) * nz) / nx > x
}

function firstAbove(inward: readonly Inward[], low: number): number {
  let [from, to] = [0, inward.length]
  while (from < to) {
    const middle = (from + to) >> 1
    if ((inward[middle] as Inward).z < low) from = middle + 1
    else to = middle
  }
  return from
}
