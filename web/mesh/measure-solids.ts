import { turnedShells } from './facing.ts'
import type { Turned } from './layers.ts'
import { checkLayers, lookThrough } from './look-through.ts'
import { type Measure, mostPoints } from './measure.ts'
import type { OnProgress } from './measuring.ts'
import { outlineOf, views } from './outline.ts'
import { Refusal } from './refusal.ts'
import { type Shells, shellsOf } from './shells.ts'
import { type Box, boxAround, type Solid } from './solid.ts'

/** Nothing that a resin printer takes is longer; a file that is was read in the wrong unit. */
const longestMm = 2000

/** Points of the three outlines, `mostPoints` together; the front is what a figure is drawn by. */
const points = { front: mostPoints * 0.4, side: mostPoints * 0.3, above: mostPoints * 0.3 }

/**
 * Measures solids that together are one figure.
 *
 * @param solids in mm, z up; -0 becomes 0 in them
 * @param layerUm layers at which to look for what begins in mid-air, µm; null: don't look
 * @returns everything but the files' hashes
 * @throws Refusal when there is nothing to measure, it has no size or one beyond any printer, or no layers are like that
 */
export function measureSolids(
  solids: readonly Solid[],
  layerUm: number | null,
  onProgress: OnProgress = () => {},
): Omit<Measure, 'sha256s'> {
  const box = boxAround(solids)
  const sizes = sizesOf(box)
  checkLayers(layerUm, sizes)
  onProgress(0.05, 'Looking for shells and holes')
  const shells = solids.map((solid) => shellsOf(solid, box))
  if (shells.every(({ count }) => count === 0))
    throw new Refusal('There is no surface in these files, only points and lines.')
  onProgress(0.4, 'Looking which way shells face')
  const turned = turnedShells(shells)
  onProgress(0.45, 'Drawing the outlines')
  const castMm2 = castAlong(shells)
  const outlines = {
    front: outlineOf(solids, box, views.front, castMm2[1], points.front),
    side: outlineOf(solids, box, views.side, castMm2[0], points.side),
    above: outlineOf(solids, box, views.above, castMm2[2], points.above),
  }
  const layers = lookThrough(turnedSolids(shells, turned), { box, castMm2: castMm2[0], layerUm }, (share) =>
    onProgress(0.6 + 0.4 * share, 'Going through the layers'),
  )
  return { ...sizes, ...countsOf(shells, turned), ...layers, ...outlines, layerUm }
}

function sizesOf({ min, max }: Box) {
  const [widthMm, depthMm, heightMm] = [max[0] - min[0], max[1] - min[1], max[2] - min[2]]
  const largest = Math.max(widthMm, depthMm, heightMm)
  if (!(largest > -Infinity)) throw new Refusal('There is not a single triangle in these files.')
  if (!(Math.min(widthMm, depthMm, heightMm) > 0)) throw new Refusal('This is flat: it has no volume to print.')
  if (largest > longestMm) {
    const metres = (largest / 1000).toLocaleString('en', { maximumFractionDigits: 1 })
    throw new Refusal(`This would be ${metres} m long, more than any printer takes. Is it in another unit?`)
  }
  return { widthMm, depthMm, heightMm }
}

/** How large all triangles together are, seen along x, y and z. */
function castAlong(all: readonly Shells[]): [number, number, number] {
  const sum = (axis: 0 | 1 | 2) => all.reduce((total, { castMm2 }) => total + castMm2[axis], 0)
  return [sum(0), sum(1), sum(2)]
}

function turnedSolids(all: readonly Shells[], turned: readonly Uint8Array[]): Turned[] {
  return all.map(({ solid, of }, place) => {
    const shells = turned[place]
    if (!shells?.includes(1)) return { solid, turned: null }
    return { solid, turned: Uint8Array.from(of, (shell) => (shell < 0 ? 0 : (shells[shell] ?? 0))) }
  })
}

function countsOf(all: readonly Shells[], turned: readonly Uint8Array[]) {
  const counts = { volumeMl: 0, surfaceMm2: 0, shells: 0, openEdges: 0, nonManifoldEdges: 0, invertedShells: 0 }
  all.forEach((shells, place) => {
    counts.shells += shells.count
    counts.openEdges += shells.openEdges
    counts.nonManifoldEdges += shells.nonManifoldEdges
    for (let shell = 0; shell < shells.count; shell++) {
      const isTurned = turned[place]?.[shell] === 1
      counts.volumeMl += ((isTurned ? -1 : 1) * (shells.volumeMm3[shell] as number)) / 1000
      counts.surfaceMm2 += shells.surfaceMm2[shell] as number
      if (isTurned && shells.isOpen[shell] === 0) counts.invertedShells++
    }
  })
  return { ...counts, volumeMl: Math.max(0, counts.volumeMl) }
}
