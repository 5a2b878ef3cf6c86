import { type Turned, walkLayers } from './layers.ts'
import { type Measure, mostStarts } from './measure.ts'
import { watchMidAir } from './mid-air.ts'
import { isTooMany, tangled } from './rays.ts'
import { Refusal } from './refusal.ts'
import type { Box } from './solid.ts'

/** Rows of a layer are never further apart where something is looked for in mid-air. */
const rowMm = 0.1
/** Where nothing is: a figure is gone through in so many steps, the finest first. */
const fewest = 200
const atMost = { rows: 800, layers: 1500 }
/** Heights of layers that resin is printed in. Common practice, no source. */
const layersUm = { least: 5, most: 500 }
/** Rows of all layers together: minutes, not hours. */
const mostRows = 3e8

interface Asked {
  box: Box
  /** How large all triangles together are along x. */
  castMm2: number
  /** Layers at which to look for what begins in mid-air; null: don't look. */
  layerUm: number | null
}

type Seen = Pick<Measure, 'overlapping' | 'widestLayerMm2' | 'widestLayerAtMm' | 'midAir'>

/**
 * A layer of ten metres, or of a thousandth of a hair, is a slip; so is a lorry in the layers of a figure.
 *
 * @throws Refusal when nobody prints in such layers, or there would be too many
 */
export function checkLayers(
  layerUm: number | null,
  { depthMm, heightMm }: { depthMm: number; heightMm: number },
): void {
  if (layerUm === null) return
  if (!(layerUm >= layersUm.least && layerUm <= layersUm.most))
    throw new Refusal(`Layers are ${layersUm.least} to ${layersUm.most} µm high, not ${layerUm}.`)
  if ((depthMm / rowMm) * ((heightMm * 1000) / layerUm) > mostRows)
    throw new Refusal(
      'This is too large to go through layer by layer. Try a thicker layer, or type the numbers instead.',
    )
}

/**
 * Goes through solids layer by layer.
 *
 * @throws Refusal when surfaces lie over each other more often than can be gone through
 */
export function lookThrough(solids: readonly Turned[], asked: Asked, onProgress: (share: number) => void): Seen {
  const { box, castMm2, layerUm } = asked
  const grid = gridFor(asked)
  const rows = Math.ceil((box.max[1] - box.min[1]) / grid.rowMm - 1e-6)
  const watch = layerUm === null ? null : watchMidAir(rows, grid.rowMm, box.min[0])
  const seen = walkLayers(solids, box, {
    ...grid,
    castMm2,
    onLayer: (spans, place) => watch?.layer(spans, place * grid.layerMm),
    onProgress,
  })
  return {
    overlapping: seen.overlapping,
    widestLayerMm2: seen.widestMm2,
    widestLayerAtMm: seen.widestAtMm,
    midAir: watch?.found(mostStarts) ?? null,
  }
}

function gridFor({ box, castMm2, layerUm }: Asked): { layerMm: number; rowMm: number } {
  const [depth, height] = [box.max[1] - box.min[1], box.max[2] - box.min[2]]
  const grids =
    layerUm === null
      ? [1, 4, 16].map((coarser) => ({
          layerMm: coarser * stepFor(height, rowMm / 2, atMost.layers),
          rowMm: coarser * stepFor(depth, rowMm, atMost.rows),
        }))
      : [{ layerMm: layerUm / 1000, rowMm: Math.min(rowMm, depth / fewest) }]
  const grid = grids.find((one) => !isTooMany(castMm2, one.rowMm, one.layerMm))
  if (!grid) throw tangled()
  return grid
}

/** As fine as wanted, but neither coarser than a two-hundredth of the whole nor in more steps than allowed. */
const stepFor = (lengthMm: number, wantedMm: number, most: number): number =>
  lengthMm / Math.min(Math.max(Math.ceil(lengthMm / wantedMm), fewest), most)
