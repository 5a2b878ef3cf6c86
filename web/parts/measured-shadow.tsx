import { figureWords, type ShownMeasure } from './measure-words.ts'
import { outlinePath } from './shadow.tsx'

const tallestPx = 260
const widestPx = 320
const gapMm = 4
const mostMarks = 20

/** The figure from the front, from the side and from above at one scale, with a mark where something begins in mid-air. */
export function MeasuredShadow({ measure }: { measure: ShownMeasure }) {
  const { front, side, above, widthMm, depthMm, heightMm } = measure
  if (!front) return null
  const views = [
    { name: 'front', outline: front, acrossMm: widthMm, upMm: heightMm },
    ...(side ? [{ name: 'side', outline: side, acrossMm: depthMm, upMm: heightMm }] : []),
    ...(above ? [{ name: 'above', outline: above, acrossMm: widthMm, upMm: depthMm }] : []),
  ]
  const acrossMm = views.reduce((sum, view) => sum + view.acrossMm + gapMm, gapMm)
  const upMm = Math.max(...views.map((view) => view.upMm)) + 2 * gapMm
  const scale = Math.min(widestPx / acrossMm, tallestPx / upMm)
  let left = gapMm
  return (
    <svg
      class="shadow shadow-printed measured"
      width={Math.round(acrossMm * scale)}
      height={Math.round(upMm * scale)}
      viewBox={`0 ${-(upMm - gapMm)} ${acrossMm} ${upMm}`}
      role="img"
      aria-label={labelOf(measure)}
    >
      {views.map(({ name, outline, acrossMm: across }) => {
        const from = left
        left += across + gapMm
        return <path key={name} class="shadow-body" fill-rule="evenodd" d={outlinePath(outline, from)} />
      })}
      {marksOf(measure).map(({ xMm, heightMm: up }, index) => (
        <Mark key={`${xMm} ${up}`} x={gapMm + xMm} y={-up} number={index + 1} pxPerMm={scale} />
      ))}
    </svg>
  )
}

const marksOf = ({ midAir }: ShownMeasure) =>
  (midAir ?? []).toSorted((one, other) => other.areaMm2 - one.areaMm2).slice(0, mostMarks)

function Mark({ x, y, number, pxPerMm }: { x: number; y: number; number: number; pxPerMm: number }) {
  const px = 1 / pxPerMm
  return (
    <>
      <circle class="measured-mark" cx={x} cy={y} r={4 * px} />
      <text class="measured-number" x={x + 6 * px} y={y + 4 * px} font-size={12 * px}>
        {number}
      </text>
    </>
  )
}

function labelOf({ midAir, heightMm, widthMm }: ShownMeasure): string {
  const marks = midAir && midAir.length > 0 ? `, with ${Math.min(midAir.length, mostMarks)} marks in mid-air` : ''
  return `From the front, from the side and from above: ${figureWords(heightMm)} mm tall, ${figureWords(widthMm)} mm wide${marks}`
}
