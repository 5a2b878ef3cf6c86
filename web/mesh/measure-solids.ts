import { turnedShells } from './facing.ts'
import { type LayersSeen, type Turned, walkLayers } from './layers.ts'
import { type Measure, mostPoints, mostStarts } from './measure.ts'
import type { OnProgress } from './measuring.ts'
import { watchMidAir } from './mid-air.ts'
import { outlineOf, views } from './outline.ts'
import { Refusal } from './refusal.ts'
import { type Shells, shellsOf } from './shells.ts'
import { type Box, boxAround, type Solid } from './solid.ts'

/** Nothing that a resin printer takes is longer; a file that is was read in the wrong unit. */
const longestMm = 2000
/** Rows and layers of the walk where nobody asked for layers of their own. */
const rowMm = 0.1
const fewest = 200
const atMost = { rows: 800, layers: 1500 }
/** Heights of layers that resin is printed in. Common practice, no source. */
const layersUm = { least: 5, most: 500 }
/** Rows of all layers together: minutes, not hours. */
const mostRows = 3e8

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
  const outlines = {
    front: outlineOf(solids, box, views.front, points.front),
    side: outlineOf(solids, box, views.side, points.side),
    above: outlineOf(solids, box, views.above, points.above),
  }
  const layers = lookThrough(shells, turned, box, layerUm, (share) =>
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

/** A layer of ten metres, or of a thousandth of a hair, is a slip; so is a lorry in the layers of a figure. */
function checkLayers(layerUm: number | null, { depthMm, heightMm }: { depthMm: number; heightMm: number }): void {
  if (layerUm === null) return
  if (!(layerUm >= layersUm.least && layerUm <= layersUm.most))
    throw new Refusal(`Layers are ${layersUm.least} to ${layersUm.most} µm high, not ${layerUm}.`)
  if ((depthMm / rowMm) * ((heightMm * 1000) / layerUm) > mostRows)
    throw new Refusal('This is too large to go through layer by layer. Measure it without looking for what hangs.')
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

function lookThrough(
  all: readonly Shells[],
  turned: readonly Uint8Array[],
  box: Box,
  layerUm: number | null,
  onProgress: (share: number) => void,
): Pick<Measure, 'overlapping' | 'widestLayerMm2' | 'widestLayerAtMm' | 'midAir'> {
  const [depth, height] = [box.max[1] - box.min[1], box.max[2] - box.min[2]]
  const grid =
    layerUm === null
      ? { layerMm: stepFor(height, rowMm / 2, atMost.layers), rowMm: stepFor(depth, rowMm, atMost.rows) }
      : { layerMm: layerUm / 1000, rowMm: Math.min(rowMm, depth / fewest) }
  const watch = layerUm === null ? null : watchMidAir(Math.ceil(depth / grid.rowMm - 1e-6), grid.rowMm, box.min[0])
  const seen: LayersSeen = walkLayers(
    all.map((shells, place) => turnedTriangles(shells, turned[place])),
    box,
    {
      ...grid,
      onLayer: (spans, place) => watch?.layer(spans, place * grid.layerMm),
      onProgress,
    },
  )
  return {
    overlapping: seen.overlapping,
    widestLayerMm2: seen.widestMm2,
    widestLayerAtMm: seen.widestAtMm,
    midAir: watch?.found(mostStarts) ?? null,
  }
}

/** As fine as wanted, but neither coarser than a two-hundredth of the whole nor in more steps than allowed. */
const stepFor = (lengthMm: number, wantedMm: number, most: number): number =>
  lengthMm / Math.min(Math.max(Math.ceil(lengthMm / wantedMm), fewest), most)

function turnedTriangles({ solid, of }: Shells, turned: Uint8Array | undefined): Turned {
  if (!turned?.includes(1)) return { solid, turned: null }
  return { solid, turned: Uint8Array.from(of, (shell) => (shell < 0 ? 0 : (turned[shell] ?? 0))) }
}
