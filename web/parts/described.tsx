import { type Base, baseWords, unitWords } from './base.ts'
import type { FigureShadow } from './outline.ts'
import { MachinePlate } from './plate-drawing.tsx'
import { type FigureSize, roomOf, Shadow, scaleFor } from './shadow.tsx'

/** Reads what is typed in a field, by its name in the form without the prefix; empty where there is no such field. */
export type Typed = (field: string) => string

export interface DescribedProps {
  what: 'unit' | 'file' | 'printer' | 'picture'
  typed: Typed
  /** Of the unit that a file is to stand in for: a dashed ring around its own. */
  unitBase?: Base | null
  /** That is cut. */
  picture?: WholePicture | null | undefined
  /** Once the file is measured. */
  shadow?: FigureShadow | null
}

const room = { heightPx: 200, widthPx: 250 }
/** What a figure is drawn as tall as while nobody has said its scale. */
const usualScaleMm = 28
/** Nothing larger can be meant. */
const mostMm = 1000

/** What a form describes, drawn to scale as far as it is typed, and in words. Drawn by the server first, then by the browser. */
export function Described(props: DescribedProps) {
  if (props.what === 'printer') return <DescribedMachine {...machineTyped(props.typed)} />
  if (props.picture) return <DescribedPicture picture={props.picture} typed={props.typed} />
  return <DescribedFigure {...props} />
}

function machineTyped(typed: Typed) {
  const [width, depth] = [number(typed('plateWidthMm')), number(typed('plateDepthMm'))]
  const plateMm = width === null || depth === null ? null : ([width, depth] as const)
  return { plateMm, buildHeightMm: number(typed('buildHeightMm')) }
}

function DescribedFigure({ what, typed, unitBase = null, shadow = null }: DescribedProps) {
  const base = baseTyped(typed)
  const scaleMm = number(typed('scaleMm'))
  const heightMm = number(typed('heightMm'))
  const figure: FigureSize = { shadow, base, heightMm, scaleMm: scaleMm ?? usualScaleMm }
  return (
    <>
      <Shadow
        ruler
        figure={figure}
        unitBase={unitBase}
        stage={shadow ? 'printed' : 'wanted'}
        pxPerMm={scaleFor([figure], room, unitBase)}
      />
      <figcaption>
        {what === 'unit' ? (
          <p>{unitWords({ scaleMm, base, modelsPerUnit: number(typed('modelsPerUnit')) })}</p>
        ) : (
          <p>{fileWords({ scaleMm, base, heightMm: shadow?.heightMm ?? heightMm })}</p>
        )}
        <p class="quiet">
          {shadow ? 'Its shadow, as measured' : 'Dashed: about as tall as it will stand'}; beside it one centimetre
          {unitBase && `; dashed ring: the unit’s base, ${baseWords(unitBase)}`}.
        </p>
      </figcaption>
    </>
  )
}

function baseTyped(typed: Typed): Base | null {
  const shape = typed('base.shape')
  const [widthMm, lengthMm] = [number(typed('base.widthMm')), number(typed('base.lengthMm'))]
  if (widthMm === null || (shape !== 'round' && shape !== 'oval' && shape !== 'rectangle')) return null
  return { shape, widthMm, lengthMm: shape === 'round' ? null : lengthMm }
}

/** A number as somebody types it; null for what is none, or can't be meant. */
function number(text: string): number | null {
  const value = Number(text.trim().replace(',', '.'))
  return value > 0 && value <= mostMm ? value : null
}

function fileWords({
  scaleMm,
  base,
  heightMm,
}: {
  scaleMm: number | null
  base: Base | null
  heightMm: number | null
}) {
  const facts = [
    ...(scaleMm === null ? [] : [`${scaleMm} mm`]),
    ...(base ? [baseWords(base)] : []),
    ...(heightMm === null ? [] : [`${Math.round(heightMm * 10) / 10} mm tall`]),
  ]
  return facts.length > 0 ? facts.join(', ') : 'Say its scale or its base, and it is drawn to size.'
}

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
function DescribedMachine({ plateMm, buildHeightMm }: Props) {
  return (
    <>
      {plateMm && <MachinePlate plateMm={plateMm} />}
      {plateMm && buildHeightMm !== null && <Room width={plateMm[0]} height={buildHeightMm} />}
      <figcaption>
        <p>{plateMm ? platesWords(plateMm) : 'Say how wide and deep the plate is, and it is drawn to size.'}</p>
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

/** A picture as it was sent in, whole. */
interface WholePicture {
  src: string
  width: number
  height: number
  alt: string
}

/** A picture with what is cut off its sides veiled, as far as that is typed. */
function DescribedPicture({ picture, typed }: { picture: WholePicture; typed: (field: string) => string }) {
  const { src, width, height, alt } = picture
  const [left, top, right, bottom] = ['left', 'top', 'right', 'bottom'].map((side) => share(typed(`crop.${side}`)))
  const from = { x: width * (left ?? 0), y: height * (top ?? 0) }
  const kept = { width: width * (1 - (left ?? 0) - (right ?? 0)), height: height * (1 - (top ?? 0) - (bottom ?? 0)) }
  const isCut = kept.width < width || kept.height < height
  return (
    <>
      <svg class="cut-picture" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img">
        <title>{isCut ? `${alt}, with what is cut off veiled` : alt}</title>
        <image href={src} width={width} height={height} />
        {isCut && kept.width > 0 && kept.height > 0 && (
          <>
            <path
              class="cut-off"
              fill-rule="evenodd"
              d={`M0 0H${width}V${height}H0ZM${from.x} ${from.y}h${kept.width}v${kept.height}h${-kept.width}Z`}
            />
            <rect class="cut-edge" {...from} {...kept} />
          </>
        )}
      </svg>
      <figcaption class="quiet">
        {isCut ? 'Veiled: what is cut off. It is kept, and can be had back.' : 'The whole picture, as it was sent in.'}
      </figcaption>
    </>
  )
}

/** Of a hundred, as somebody types it; what can't be meant cuts nothing off. */
function share(text: string): number {
  const value = Number(text.trim().replace(',', '.'))
  return value > 0 && value < 100 ? value / 100 : 0
}
