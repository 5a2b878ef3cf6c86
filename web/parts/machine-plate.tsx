import { PlateDrawing } from './plate-drawing.tsx'

/** What stands on the plate for its size: a base that nearly everybody has seen. */
const baseMm = 32
/** Plates are drawn at one scale, so that a larger one is seen to be larger; what would be wider is drawn smaller. */
const pxPerMm = 1.1
const mostPx = 260

/** "143 × 89 mm, 170 mm high": how much fits on a machine. */
export const roomWords = (plateMm: readonly [number, number], buildHeightMm: number): string =>
  `${plateMm[0]} × ${plateMm[1]} mm, ${buildHeightMm} mm high`

/** In a row of a list. */
const inRow = { pxPerMm: 0.3, mostPx: 88 }

interface Props {
  plateMm: readonly [width: number, depth: number]
  /** Small enough for a row of a list. */
  small?: boolean
}

/** A machine's plate from above, with the outline of one round base of 32 mm on it for scale. */
export function MachinePlate({ plateMm, small = false }: Props) {
  const scale = small ? inRow : { pxPerMm, mostPx }
  const [width, depth] = plateMm
  const fits = width >= baseMm && depth >= baseMm
  const base = {
    xMm: (width - baseMm) / 2,
    yMm: (depth - baseMm) / 2,
    widthMm: baseMm,
    depthMm: baseMm,
    round: true,
    isBare: true,
  }
  return (
    <PlateDrawing
      plateMm={plateMm}
      copies={fits ? [base] : []}
      widthPx={Math.round(Math.min(scale.mostPx, width * scale.pxPerMm))}
      label={`A plate of ${width} × ${depth} mm from above${fits ? ', with a round base of 32 mm for scale' : ''}`}
    />
  )
}
