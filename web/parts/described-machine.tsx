import { MachinePlate } from './plate-drawing.tsx'
import { roomOf, Shadow } from './shadow.tsx'

/** What stands in the machine for scale: about as tall as a foot model with its spear. */
const figure = { shadow: null, heightMm: 45, base: { shape: 'round' as const, widthMm: 32 }, scaleMm: 32 }
const pxPerMm = 1.1
const mostPx = 240
/** Between two bases; what the packing of plates leaves as well. */
const gapMm = 3
const baseMm = 32

interface Props {
  plateMm: readonly [width: number, depth: number] | null
  buildHeightMm: number | null
}

/** A machine's plate from above, and its room from the front with one figure in it, both at one scale; and in words. */
export function DescribedMachine({ plateMm, buildHeightMm }: Props) {
  return (
    <>
      {plateMm && <MachinePlate plateMm={plateMm} />}
      {plateMm && buildHeightMm !== null && <Room width={plateMm[0]} height={buildHeightMm} />}
      <figcaption>
        <p>{plateMm ? platesWords(plateMm) : 'Say how wide and deep the plate is, and it is drawn to that.'}</p>
        {plateMm && (
          <p class="quiet">
            {buildHeightMm === null
              ? 'From above, with a round base of 32 mm for scale.'
              : 'From above, with a round base of 32 mm for scale, and from the front, with one figure 45 mm tall.'}
          </p>
        )}
      </figcaption>
    </>
  )
}

/** "150 × 85 mm: 8 round bases of 32 mm in straight rows": easily counted, so that a slip of the finger is seen. */
function platesWords([width, depth]: readonly [number, number]): string {
  const along = (mm: number) => Math.max(0, Math.floor((mm + gapMm) / (baseMm + gapMm)))
  const bases = along(width) * along(depth)
  const fit = bases === 0 ? 'not one round base of 32 mm fits' : `${bases} round bases of 32 mm in straight rows`
  return `${width} × ${depth} mm: ${bases === 1 ? 'one round base of 32 mm' : fit}.`
}

function Room({ width, height }: { width: number; height: number }) {
  const px = Math.min(pxPerMm, mostPx / width, mostPx / height)
  const [across, up] = [Math.round(width * px), Math.round(height * px)]
  const { width: figureMm, height: tallMm } = roomOf(figure)
  return (
    <svg
      class="plate"
      width={across}
      height={up}
      viewBox={`0 0 ${across} ${up}`}
      role="img"
      aria-label={`Room ${width} mm wide and ${height} mm high from the front, with a figure 45 mm tall in it`}
    >
      <rect class="plate-edge" x="0.75" y="0.75" width={Math.max(0, across - 1.5)} height={Math.max(0, up - 1.5)} />
      <g transform={`translate(${Math.round((across - figureMm * px) / 2)} ${Math.round(up - tallMm * px)})`}>
        <Shadow figure={figure} pxPerMm={px} stage="to print" />
      </g>
    </svg>
  )
}
