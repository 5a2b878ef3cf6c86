import simplify from 'simplify-js'
import type { FigureShadow, Outline } from '../../../../web/parts/outline.ts'

/** Fewer points than these enclose nothing. */
const fewest = 3

/**
 * A row to be drawn, with an outline of no more points than the drawing shows: half a pixel is not seen.
 *
 * @param pxPerMm the drawing's scale
 */
export function thinned<Drawn extends { shadow: FigureShadow | null }>(drawn: Drawn, pxPerMm: number): Drawn {
  const { shadow } = drawn
  return shadow === null ? drawn : { ...drawn, shadow: { ...shadow, front: shadow.front.flatMap(thinner) } }

  function thinner(ring: Outline[number]): Outline {
    const points = simplify(
      ring.map(([x, y]) => ({ x, y })),
      0.5 / pxPerMm,
      true,
    )
    return points.length < fewest ? [] : [points.map(({ x, y }): [number, number] => [x, y])]
  }
}
