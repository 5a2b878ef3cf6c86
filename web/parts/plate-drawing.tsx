import { hatch } from './hatching.tsx'
import { tenth } from './shadow.tsx'

/** A copy's place on the plate, in mm from its near left corner. */
export interface Placed extends Record<'xMm' | 'yMm' | 'widthMm' | 'depthMm', number> {
  /** The foot print is round or oval, not a box. */
  round?: boolean
  /** Drawn in outline: there for scale, not to be printed. */
  isBare?: boolean
}

export interface PlateDrawingProps {
  plateMm: readonly [width: number, depth: number]
  copies: Placed[]
  /** Copies expected to fail, crossed out. */
  failing?: number
  widthPx?: number
  /** What it shows, in words: the drawing alone says nothing to those who hear the page. */
  label: string
}

/** The build plate from above as it will be packed; what is expected to fail is crossed out, free room is left white. */
export function PlateDrawing({
  plateMm: [width, depth],
  copies,
  failing = 0,
  widthPx = 220,
  label,
}: PlateDrawingProps) {
  const px = widthPx / width
  return (
    <svg
      class="plate"
      width={widthPx}
      height={Math.round(depth * px)}
      viewBox={`0 0 ${widthPx} ${Math.round(depth * px)}`}
      role="img"
      aria-label={label}
    >
      <rect class="plate-edge" x="0.75" y="0.75" width={widthPx - 1.5} height={Math.round(depth * px) - 1.5} />
      {copies.map((copy, index) => (
        <Copy key={index} copy={copy} px={px} fails={index >= copies.length - failing} />
      ))}
    </svg>
  )
}

function Copy({ copy, px, fails }: { copy: Placed; px: number; fails: boolean }) {
  const [x, y, w, d] = [copy.xMm * px, copy.yMm * px, copy.widthMm * px, copy.depthMm * px].map(tenth) as [
    number,
    number,
    number,
    number,
  ]
  return (
    <>
      {copy.round ? (
        <ellipse
          class="plate-copy"
          cx={tenth(x + w / 2)}
          cy={tenth(y + d / 2)}
          rx={w / 2}
          ry={d / 2}
          fill={copy.isBare ? 'none' : hatch('resin')}
        />
      ) : (
        <rect class="plate-copy" x={x} y={y} width={w} height={d} fill={hatch('resin')} />
      )}
      {fails && <path class="plate-fails" d={`M${x} ${y}l${w} ${d}M${tenth(x + w)} ${y}l${-w} ${d}`} />}
    </>
  )
}

/** What stands on the plate for its size: a base that nearly everybody has seen. */
const baseMm = 32
/** Plates are drawn at one scale, so that a larger one is seen to be larger; what would be wider is drawn smaller. */
const pxPerMm = 1.1
const mostPx = 260

export interface Machine {
  id: string
  name: string
  plateMm: readonly [width: number, depth: number]
  buildHeightMm: number
}

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
