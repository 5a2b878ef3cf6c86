import { isCollapsed, walkEdges } from './edges.ts'
import { type Box, type Solid, trianglesIn } from './solid.ts'
import { singles, standIn } from './union.ts'
import { weld } from './weld.ts'

/** A solid's connected surfaces. */
export interface Shells {
  solid: Solid
  count: number
  /** Which shell each triangle belongs to; -1 for one without an area of its own. */
  of: Int32Array
  /** Of each shell: by the divergence theorem, negative when it faces inwards, mm3. */
  volumeMm3: Float64Array
  surfaceMm2: Float64Array
  /** How large all triangles together are, seen along each axis: so much has to be gone through by rays. */
  castMm2: [x: number, y: number, z: number]
  /** 1 for a shell with an open edge. */
  isOpen: Uint8Array
  openEdges: number
  nonManifoldEdges: number
}

/** @param box around everything: its middle is what volumes are taken from, so that they keep their digits and no place matters */
export function shellsOf(solid: Solid, box: Box): Shells {
  const welded = weld(solid)
  const leads = singles(trianglesIn(solid))
  const edges = walkEdges(welded, leads)
  const { of, count } = numbered(leads, welded.points)
  const { volumeMm3, surfaceMm2, facing, castMm2 } = sizes(solid, of, count, box)
  const isOpen = closeHoles(solid, of, edges.isOpen, volumeMm3, facing, box)
  const { open: openEdges, nonManifold: nonManifoldEdges } = edges
  return { solid, count, of, isOpen, volumeMm3, surfaceMm2, castMm2, openEdges, nonManifoldEdges }
}

function numbered(leads: Int32Array, points: Int32Array): { of: Int32Array; count: number } {
  const of = new Int32Array(leads.length).fill(-1)
  let count = 0
  // The member that stands for a set comes before all its others.
  for (let triangle = 0; triangle < leads.length; triangle++) {
    const first = standIn(leads, triangle)
    if (first !== triangle) of[triangle] = of[first] as number
    else if (!isCollapsed(points, triangle * 3)) of[triangle] = count++
  }
  return { of, count }
}

/**
 * Area of each triangle, and the volume of the tetrahedron over it: a sixth of the triple product of its corners.
 *
 * @see Zhang & Chen (2001), Efficient feature extraction for 2D/3D objects in mesh representation, ICIP 3, 935-938
 */
function sizes(solid: Solid, of: Int32Array, count: number, box: Box) {
  const [mx, my, mz] = middleOf(box)
  // Of each shell, three numbers: its area as a vector, which is nothing where it is closed.
  const facing = new Float64Array(count * 3)
  let [castX, castY, castZ] = [0, 0, 0]
  const volumeMm3 = new Float64Array(count)
  const surfaceMm2 = new Float64Array(count)
  for (let triangle = 0, at = 0; triangle < of.length; triangle++, at += 9) {
    const shell = of[triangle] as number
    if (shell < 0) continue
    const ax = (solid[at] as number) - mx
    const ay = (solid[at + 1] as number) - my
    const az = (solid[at + 2] as number) - mz
    const bx = (solid[at + 3] as number) - mx
    const by = (solid[at + 4] as number) - my
    const bz = (solid[at + 5] as number) - mz
    const cx = (solid[at + 6] as number) - mx
    const cy = (solid[at + 7] as number) - my
    const cz = (solid[at + 8] as number) - mz
    const triple = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    volumeMm3[shell] = (volumeMm3[shell] as number) + triple / 6
    const nx = (by - ay) * (cz - az) - (bz - az) * (cy - ay)
    const ny = (bz - az) * (cx - ax) - (bx - ax) * (cz - az)
    const nz = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    surfaceMm2[shell] = (surfaceMm2[shell] as number) + Math.sqrt(nx * nx + ny * ny + nz * nz) / 2
    castX += Math.abs(nx) / 2
    castY += Math.abs(ny) / 2
    castZ += Math.abs(nz) / 2
    facing[shell * 3] = (facing[shell * 3] as number) + nx / 2
    facing[shell * 3 + 1] = (facing[shell * 3 + 1] as number) + ny / 2
    facing[shell * 3 + 2] = (facing[shell * 3 + 2] as number) + nz / 2
  }
  const castMm2: [number, number, number] = [castX, castY, castZ]
  return { volumeMm3, surfaceMm2, facing, castMm2 }
}

function middleOf({ min, max }: Box): [number, number, number] {
  return [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2]
}

/**
 * Takes the volume of a shell with holes from the middle of their edges instead, which closes a hole by a cone to there.
 *
 * @returns 1 for each shell that has one
 */
function closeHoles(
  solid: Solid,
  of: Int32Array,
  isOpenHalf: Uint8Array,
  volumeMm3: Float64Array,
  facing: Float64Array,
  box: Box,
): Uint8Array {
  const middle = middleOf(box)
  const sums = new Float64Array(facing.length)
  const counts = new Int32Array(volumeMm3.length)
  for (let half = 0; half < isOpenHalf.length; half++) {
    if (isOpenHalf[half] !== 1) continue
    const shell = of[Math.floor(half / 3)] as number
    // Around a hole, each corner begins one half-edge.
    counts[shell] = (counts[shell] as number) + 1
    for (let axis = 0; axis < 3; axis++)
      sums[shell * 3 + axis] = (sums[shell * 3 + axis] as number) + (solid[half * 3 + axis] as number)
  }
  for (let shell = 0; shell < counts.length; shell++) {
    const count = counts[shell] as number
    for (let axis = 0; axis < 3 && count > 0; axis++) {
      const from = (sums[shell * 3 + axis] as number) / count - (middle[axis] as number)
      volumeMm3[shell] = (volumeMm3[shell] as number) - (from * (facing[shell * 3 + axis] as number)) / 3
    }
  }
  return Uint8Array.from(counts, (count) => Math.min(count, 1))
}
