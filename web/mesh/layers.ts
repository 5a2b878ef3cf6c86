import { castRays, type Grid, tangled } from './rays.ts'
import type { Box, Solid } from './solid.ts'
import { noSpans, type Spans, type SpanWriter, writeRow } from './spans.ts'

/** A solid, and which of its triangles face inwards by mistake (null: none). */
export interface Turned {
  solid: Solid
  turned: Uint8Array | null
}

export interface LayersAsked {
  /** How high a layer is, and how far apart its rows are, mm. */
  layerMm: number
  rowMm: number
  /** How large all triangles are along x, mm2. */
  castMm2: number
  /** Called with each layer from the lowest, whose spans are good until the next call but one. */
  onLayer: (spans: Spans, place: number) => void
  /** @param share of all layers, 0 to 1 */
  onProgress: (share: number) => void
}

export interface LayersSeen {
  overlapping: boolean
  widestMm2: number
  /** Lower side of the lowest of the widest layers, above the lowest point. */
  widestAtMm: number
}

/** So many crossings are held at once. */
const mostCrossings = 24e6
const mostRays = 4e6

/** Places along a ray are told apart in so many steps, which takes nanometres of a figure. */
const steps = 2 ** 29

/** Goes through solids from the lowest layer to the highest, by rays in the middle of each layer. */
export function walkLayers(solids: readonly Turned[], box: Box, asked: LayersAsked): LayersSeen {
  const { layerMm, rowMm } = asked
  const rows = Math.max(1, Math.ceil((box.max[1] - box.min[1]) / rowMm - 1e-6))
  const layers = Math.max(1, Math.ceil((box.max[2] - box.min[2]) / layerMm - 1e-6))
  const seen: LayersSeen = { overlapping: false, widestMm2: 0, widestAtMm: 0 }
  const writers = [0, 1].map((): SpanWriter => ({ spans: noSpans(rows), overlapping: false, lengthMm: 0 }))
  const stepMm = (box.max[0] - box.min[0]) / steps || 1 / steps
  // Half of what can be held, as a mesh is never spread evenly over its layers.
  const expected = asked.castMm2 / (layerMm * rowMm)
  const slabOf = (most: number, all: number) => Math.floor((layers * most) / Math.max(1, all))
  let slab = Math.max(1, Math.min(layers, slabOf(mostCrossings / 2, expected), slabOf(mostRays, layers * rows)))
  asked.onProgress(0)
  for (let below = 0; below < layers; ) {
    const grid: Grid = {
      axes: [0, 1, 2],
      column: { from: box.min[1], step: rowMm, count: rows },
      row: { from: box.min[2] + below * layerMm, step: layerMm, count: Math.min(slab, layers - below) },
    }
    const crossings = crossingsOf(solids, grid, box.min[0], stepMm)
    if (!crossings) {
      if (slab === 1) throw tangled()
      slab = Math.ceil(slab / 2)
      continue
    }
    for (let layer = 0; layer < grid.row.count; layer++) {
      const place = below + layer
      const writer = writers[place % 2] as SpanWriter
      writer.lengthMm = 0
      for (let row = 0; row < rows; row++) writeRow(writer, row, crossings.on(layer * rows + row), box.min[0], stepMm)
      seen.overlapping ||= writer.overlapping
      if (writer.lengthMm * rowMm > seen.widestMm2) {
        seen.widestMm2 = writer.lengthMm * rowMm
        seen.widestAtMm = place * layerMm
      }
      asked.onLayer(writer.spans, place)
    }
    below += grid.row.count
    asked.onProgress(below / layers)
  }
  return seen
}

/** Where each ray crosses a surface, in order. @returns null when there are too many to hold */
function crossingsOf(solids: readonly Turned[], grid: Grid, fromMm: number, stepMm: number) {
  const rays = grid.column.count * grid.row.count
  const ends = new Int32Array(rays)
  let total = 0
  for (const { solid } of solids) {
    castRays(solid, null, grid, (ray) => {
      ends[ray] = (ends[ray] as number) + 1
      total++
    })
    if (total > mostCrossings) return null
  }
  let sum = 0
  for (let ray = 0; ray < rays; ray++) {
    const count = ends[ray] as number
    ends[ray] = sum
    sum += count
  }
  const keys = new Int32Array(total)
  for (const { solid, turned } of solids) {
    castRays(solid, turned, grid, (ray, at, isExit) => {
      const place = ends[ray] as number
      keys[place] = Math.round((at - fromMm) / stepMm) * 2 + (isExit ? 1 : 0)
      ends[ray] = place + 1
    })
  }
  return {
    on(ray: number): Int32Array {
      const list = keys.subarray(ray === 0 ? 0 : (ends[ray - 1] as number), ends[ray] as number)
      if (list.length > 1) sort(list)
      return list
    },
  }
}

function sort(list: Int32Array): void {
  if (list.length > 40) {
    list.sort()
    return
  }
  for (let at = 1; at < list.length; at++) {
    const key = list[at] as number
    let before = at - 1
    for (; before >= 0 && (list[before] as number) > key; before--) list[before + 1] = list[before] as number
    list[before + 1] = key
  }
}
