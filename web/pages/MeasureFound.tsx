import type { MidAir } from '../mesh/measure.ts'
import { DataTable } from '../parts/data-table.tsx'
import { DateWords } from '../parts/date-words.tsx'
import {
  figureWords,
  meshWords,
  placeWords,
  resinOf,
  type ShownMeasure,
  sizeWords,
  widestWords,
} from '../parts/measure-words.ts'
import { outlinePath } from '../parts/shadow.tsx'

/** Which revision these parts are of. */
export type Known =
  | { is: 'unknown' }
  | {
      is: 'this' | 'another'
      revisionId: string
      label: string
      releasedOn: string | null
      /** The newest revision, where it is another. */
      newest: string | null
      /** Snags of it that were mended in a later one. */
      mended: number
    }

export interface Resize {
  fromMm: number
  toMm: number
  volumeMl: number | null
  heightMm: number
}

interface Props {
  measure: ShownMeasure
  supports: string | null
  known: Known | null
  resizes: Resize[]
  /** Form that writes a snag down, with what is known so far filled in. */
  snagForm: string
}

/** What was found of a figure: its shadow from three sides beside what it comes to, in words. */
export function MeasureFound({ measure, supports, known, resizes, snagForm }: Props) {
  const more = [resinOf(measure), widestWords(measure)].filter(Boolean)
  return (
    <div class="measure">
      <MeasuredShadow measure={measure} />
      <div class="measure-words">
        <p class="measure-size">{sizeWords(measure)}</p>
        {more.length > 0 && (
          <p>
            {more.join(', ')}
            {measure.volumeMl !== null && (supports === null ? ', without supports' : ', supports included')}.
          </p>
        )}
        {resizes.map((resize) => (
          <p key={resize.toMm}>{resizeWords(resize)}</p>
        ))}
        {meshWords(measure).map((line) => (
          <p key={line} class="quiet">
            {line}
          </p>
        ))}
        {known && <KnownWords known={known} />}
      </div>
      {measure.midAir && <MidAirTable measure={measure} starts={measure.midAir} snagForm={snagForm} />}
    </div>
  )
}

function resizeWords({ fromMm, toMm, volumeMl, heightMm }: Resize): string {
  const resin = volumeMl === null ? '' : ` and ${figureWords(volumeMl)} ml`
  return `Resized from ${fromMm} to ${toMm} mm: ${figureWords(heightMm)} mm tall${resin}.`
}

function KnownWords({ known }: { known: Known }) {
  if (known.is === 'unknown')
    return (
      <p>
        The group knows no revision of this file with this SHA-256. It may be a new one, or other parts of this one.
      </p>
    )
  const { is, label, releasedOn, newest, mended } = known
  const named = (
    <>
      {is === 'this' ? 'this revision, ' : ''}
      {label}
      {releasedOn && (
        <>
          {' '}
          of <DateWords on={releasedOn} />
        </>
      )}
    </>
  )
  return (
    <p>
      By its SHA-256 it is {named}.{newest !== null && ` ${newest} is newer${mendedWords(mended)}.`}
    </p>
  )
}

const mendedWords = (mended: number) =>
  mended === 0 ? '' : `, and ${mended === 1 ? 'a snag was' : `${mended} snags were`} mended since`

/** More than that nobody looks at one by one. */
const mostShown = 20

function MidAirTable({ measure, starts, snagForm }: { measure: ShownMeasure; starts: MidAir[]; snagForm: string }) {
  if (starts.length === 0)
    return <p>Nothing begins in mid-air, as far as layers of {measure.layerUm} µm tell: a hint, not a promise.</p>
  const largest = starts.toSorted((one, other) => other.areaMm2 - one.areaMm2).slice(0, mostShown)
  const rows = largest.map((start, index) => ({ ...start, number: index + 1 }))
  const rest = starts.length - rows.length
  return (
    <div class="measure-starts">
      <p>
        In layers of {measure.layerUm} µm {starts.length === 1 ? 'one place begins' : `${starts.length} places begin`}{' '}
        in mid-air. That is a hint, not a verdict: a machine bridges small ones, and a thin tip may have been missed.
        Look at each in your slicer.
      </p>
      <DataTable
        caption="What begins in mid-air, the largest first"
        rows={rows}
        rowKey={({ number }) => String(number)}
        columns={[
          { label: 'Mark', head: true, cell: ({ number }) => `${number}` },
          { label: 'Height', figures: true, cell: ({ heightMm }) => `${figureWords(heightMm)} mm` },
          { label: 'Where', cell: (start) => placeWords(start, measure) },
          { label: 'Area', figures: true, cell: ({ areaMm2 }) => `${figureWords(areaMm2)} mm²` },
          {
            label: 'Snag',
            cell: (start) => (
              <a href={`${snagForm}&${snagOf(start, measure)}`}>
                Note it as a snag<span class="visually-hidden"> (mark {start.number})</span>
              </a>
            ),
          },
        ]}
      />
      {rest > 0 && <p class="quiet">And {rest} smaller ones.</p>}
    </div>
  )
}

function snagOf(start: MidAir, measure: ShownMeasure): string {
  const height = `${figureWords(start.heightMm)} mm up`
  return new URLSearchParams({
    kind: 'unsupported part',
    part: `${height}, ${placeWords(start, measure)}`,
    detail: `Measured: ${figureWords(start.areaMm2)} mm² begin in mid-air, ${height}, in layers of ${measure.layerUm} µm.`,
  }).toString()
}

const tallestPx = 260
const widestPx = 320
const gapMm = 4
const mostMarks = 20

/** The figure from the front, from the side and from above at one scale, with a mark where something begins in mid-air. */
function MeasuredShadow({ measure }: { measure: ShownMeasure }) {
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
