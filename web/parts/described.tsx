import { type Base, baseWords, unitWords } from './base.ts'
import type { FigureShadow } from './outline.ts'
import { MachinePlate, roomWords } from './plate-drawing.tsx'
import { type FigureSize, Shadow, scaleFor } from './shadow.tsx'

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
  if (props.what === 'printer') return <DescribedMachine typed={props.typed} />
  if (props.picture) return <DescribedPicture picture={props.picture} typed={props.typed} />
  return <DescribedFigure {...props} />
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

/** A machine's plate from above, and how much fits on it in words. */
function DescribedMachine({ typed }: { typed: Typed }) {
  const [width, depth] = [number(typed('plateWidthMm')), number(typed('plateDepthMm'))]
  const height = number(typed('buildHeightMm'))
  if (width === null || depth === null)
    return <figcaption>Say how wide and deep the plate is, and it is drawn to size.</figcaption>
  const plateMm = [width, depth] as const
  return (
    <>
      <MachinePlate plateMm={plateMm} />
      <figcaption>
        <p>{height === null ? `${width} × ${depth} mm` : roomWords(plateMm, height)}</p>
        <p class="quiet">From above, with a round base of 32 mm for scale.</p>
      </figcaption>
    </>
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
