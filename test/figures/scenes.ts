import type { FileKey } from '../../db/demo/files/index.ts'
import { cast } from './cast.ts'
import type { Piece, Scene } from './render.ts'
import { ball, bar, block, placed, type Solid, slab, stack } from './solids.ts'

/** A picture that a member took: of which file, how many, how far they have come, and what is to be seen. */
export interface Shot {
  file: FileKey
  copies: number
  finish: 'primed' | 'painted' | 'failed'
  alt: string
}

const paints = [
  { cloth: [0.12, 0.2, 0.16], other: [0.28, 0.16, 0.09], metal: [0.4, 0.4, 0.42] },
  { cloth: [0.1, 0.16, 0.3], other: [0.3, 0.26, 0.18], metal: [0.35, 0.33, 0.3] },
  { cloth: [0.34, 0.1, 0.07], other: [0.16, 0.14, 0.12], metal: [0.45, 0.42, 0.34] },
  { cloth: [0.3, 0.27, 0.12], other: [0.1, 0.17, 0.18], metal: [0.38, 0.38, 0.4] },
] as const
const primer = [0.36, 0.38, 0.38] as const
const resin = [0.2, 0.24, 0.26] as const
const desks = [
  [0.16, 0.12, 0.09],
  [0.2, 0.22, 0.23],
  [0.1, 0.13, 0.15],
  [0.24, 0.22, 0.17],
] as const

export const size = { width: 640, height: 480 }

/** Figures side by side on their bases, or what is left of them on the plate. */
export function sceneOf(shot: Shot, index: number, baseMm: { across: number; deep: number }): Scene {
  const make = cast[shot.file]
  if (!make) throw new RangeError(`${shot.file} has no figure`)
  const gap = baseMm.across * 1.18
  const rows = shot.copies > 5 ? 2 : 1
  const inRow = Math.ceil(shot.copies / rows)
  const pieces = Array.from({ length: shot.copies }, (_, copy) => {
    const [column, row] = [copy % inRow, Math.floor(copy / inRow)]
    const by = [(column - (inRow - 1) / 2 + (row % 2) * 0.5) * gap, row * baseMm.deep * 1.25, 0] as const
    // Nobody sets models down all alike.
    const turned = (((copy * 7 + index * 3) % 5) - 2) * 7
    return shot.finish === 'failed'
      ? failedCopy(make(), copy, by)
      : standing(make(), shot.finish, index, by, turned, baseMm)
  }).flat()
  const ground = shot.finish === 'failed' ? ([0.05, 0.055, 0.06] as const) : (desks[index % desks.length] ?? desks[0])
  return { pieces, ground, ...size }
}

type By = readonly [number, number, number]

function standing(
  solids: Solid[],
  finish: 'primed' | 'painted',
  index: number,
  by: By,
  turned: number,
  baseMm: { across: number; deep: number },
): Piece[] {
  const base = stack(
    [
      { z: 0, rx: baseMm.across / 2, ry: baseMm.deep / 2 },
      { z: 2.4, rx: baseMm.across / 2 - 0.9, ry: baseMm.deep / 2 - 0.9 },
    ],
    36,
  )
  const body = placed(solids, { turned, by: [by[0], by[1], 2.2] })
  return [
    ...placed([base], { by }).map((solid) => ({
      solid,
      colour: finish === 'painted' ? ([0.09, 0.08, 0.06] as const) : primer,
    })),
    ...body.map((solid, part) => ({ solid, colour: finish === 'painted' ? paintOf(part, index) : primer })),
  ]
}

/** Somebody on foot is put together boots first, then trunk, head and what is worn and carried. */
function paintOf(part: number, index: number) {
  const { cloth, other, metal } = paints[index % paints.length] ?? paints[0]
  if (part < 4) return part % 2 === 0 ? other : ([0.07, 0.06, 0.05] as const)
  if (part === 5) return [0.5, 0.32, 0.22] as const
  return [cloth, other, cloth, metal, cloth, other][part % 6] ?? cloth
}

/** Leaning on its supports as it came off the plate: every other copy stopped half-way, its supports standing empty. */
function failedCopy(solids: Solid[], copy: number, by: By): Piece[] {
  const isLost = copy % 3 !== 0
  const leaning = placed(solids, { leant: 12, by: [by[0], by[1], 8] })
  const height = Math.max(...leaning.flatMap((solid) => Array.from(solid).filter((_, at) => at % 3 === 2)))
  const kept = isLost
    ? leaning
        .map((solid) => cutAt(solid, 8 + (height - 8) * (0.22 + 0.12 * (copy % 3))))
        .filter((solid) => solid.length > 0)
    : leaning
  const supports = [-6, -2, 2, 6].flatMap((x, place) => [
    bar(
      [
        [by[0] + x, by[1] - 2, 0.5],
        [by[0] + x * 0.8 + (isLost && place % 2 ? 3 : 0), by[1], 11 + place * 1.5],
      ],
      [0.9, 0.3],
    ),
  ])
  const foot = block([by[0], by[1], 0.6], [20, 12, 1.2])
  const scrap = isLost
    ? [
        ball([by[0] + 9, by[1] - 9, 1.2], [4, 2.6, 1.2]),
        slab(
          [
            [by[0] - 12, 0],
            [by[0] - 5, 0],
            [by[0] - 8, 2],
          ],
          by[1] - 10,
          4,
        ),
      ]
    : []
  return [...kept, ...supports, foot, ...scrap].map((solid) => ({ solid, colour: resin }))
}

/** What lies below a height, triangle by triangle. */
function cutAt(solid: Solid, height: number): Solid {
  const kept: number[] = []
  for (let at = 0; at < solid.length; at += 9)
    if (Math.min(...[2, 5, 8].map((z) => solid[at + z] as number)) < height)
      for (let value = 0; value < 9; value++)
        kept.push(value % 3 === 2 ? Math.min(height, solid[at + value] as number) : (solid[at + value] as number))
  return Float32Array.from(kept)
}
