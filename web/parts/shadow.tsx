import { type Base, baseWords } from './base.ts'
import { hatch } from './hatching.tsx'
import type { FigureShadow, Outline } from './outline.ts'

/** How far a model has come: no file yet, to print, printed, built, painted. */
export type Stage = 'wanted' | 'to print' | 'printed' | 'built' | 'painted'

/** What a figure is drawn by; everything in millimetres. */
export interface FigureSize {
  /** Measured outline from the front; without one a dashed box stands for the figure. */
  shadow: FigureShadow | null
  /** As somebody noted it, for figures that nobody has measured. */
  heightMm?: number | null
  base: Base | null
  /** The scale that it is made for: with its base, how tall it is taken to be where nothing else is known. */
  scaleMm: number
}

// The ground is seen from a little above: a circle is about a third as deep as it is wide.
const foreshortening = 0.32
const rulerMm = 10
const marginMm = 1.5

/** The room that a figure and its base take, in mm. */
export function roomOf(figure: FigureSize, unitBase?: Base | null) {
  const bases = [figure.base, unitBase ?? null].filter((base) => base !== null)
  const ground = Math.max(0, ...bases.map((base) => across(base)))
  const depth = Math.max(0, ...bases.map((base) => deep(base) * foreshortening))
  const { width, height } = bodyOf(figure)
  return { width: Math.max(width, ground) + 2 * marginMm, height: height + depth / 2 + 2 * marginMm, depth }
}

/** Pixels a millimetre at which all of the figures fit, so that they stand beside each other at one scale. */
export function scaleFor(
  figures: FigureSize[],
  most: { heightPx: number; widthPx: number },
  unitBase?: Base | null,
): number {
  const rooms = figures.map((figure) => roomOf(figure, unitBase))
  const fits = Math.min(...rooms.map(({ width, height }) => Math.min(most.widthPx / width, most.heightPx / height)))
  return Number.isFinite(fits) ? fits : most.heightPx / 40
}

interface ShadowProps {
  figure: FigureSize
  /** The unit's base, drawn as a dashed ring around the figure's own. */
  unitBase?: Base | null
  pxPerMm: number
  stage?: Stage
  /** Beside it a ruled centimetre. */
  ruler?: boolean
  /** What the drawing shows, for those who hear the page; without it the drawing is for the eye only. */
  label?: string
}

/** A figure's outline, filled flat, standing on its base at true proportion. */
export function Shadow({ figure, unitBase = null, pxPerMm, stage = 'built', ruler = false, label }: ShadowProps) {
  const room = roomOf(figure, unitBase)
  const left = ruler ? 5 : 0
  const width = room.width + left
  const px = (mm: number) => Math.round(mm * pxPerMm * 10) / 10
  const top = room.height - room.depth / 2 - marginMm
  return (
    <svg
      class={`shadow shadow-${stage.replace(' ', '-')}`}
      width={px(width)}
      height={px(room.height)}
      viewBox={`${tenth(-room.width / 2 - left)} ${tenth(-top)} ${tenth(width)} ${tenth(room.height)}`}
      role="img"
      aria-label={label}
      aria-hidden={label === undefined}
    >
      {ruler && <path class="shadow-ruler" d={`M${tenth(-room.width / 2 - 3.2)} 0h-1.6m.8 0v-${rulerMm}m-.8 0h1.6`} />}
      {unitBase && <Ground base={unitBase} kind="unit" />}
      {figure.base && <Ground base={figure.base} kind="own" />}
      <Body figure={figure} name="shadow-body" fill={stage === 'painted' ? hatch('painted') : undefined} />
    </svg>
  )
}

/**
 * An upright rule with a tick every centimetre, at the scale of the figures beside it.
 *
 * @param belowMm room under its foot, so that it begins on the ground that figures on a base of that depth stand on
 */
export function HeightRule({ mm, pxPerMm, belowMm = 0 }: { mm: number; pxPerMm: number; belowMm?: number }) {
  const ticks = Array.from({ length: Math.floor(mm / rulerMm) + 1 }, (_, index) => index * rulerMm)
  const [width, height] = [8, mm + belowMm + 2 * marginMm]
  return (
    <svg
      class="shadow"
      width={tenth(width * pxPerMm)}
      height={tenth(height * pxPerMm)}
      viewBox={`0 ${tenth(-mm - marginMm)} ${width} ${tenth(height)}`}
      aria-hidden="true"
    >
      <path class="shadow-ruler" d={`M5 0V${-(ticks.at(-1) ?? 0)}${ticks.map((at) => `M3.5 ${-at}h3`).join('')}`} />
    </svg>
  )
}

/** How far a base reaches below the ground line in a drawing, in mm. */
export const depthBelow = (base: Base | null): number => (base ? (deep(base) * foreshortening) / 2 : 0)

/** The figure itself: its outline, or a box with round ends where nobody has measured it. */
export function Body({ figure, name, fill }: { figure: FigureSize; name: string; fill?: string | undefined }) {
  const { width, height } = bodyOf(figure)
  if (figure.shadow)
    return <path class={name} fill-rule="evenodd" fill={fill} d={outlinePath(figure.shadow.front, -width / 2)} />
  return (
    <rect
      class={`${name} shadow-unknown`}
      x={tenth(-width / 2)}
      y={tenth(-height)}
      width={tenth(width)}
      height={tenth(height)}
      rx={tenth(width * 0.45)}
    />
  )
}

/** A base on the ground, seen from a little above; it stands at 0, 0. */
export function Ground({ base, kind }: { base: Base; kind: 'unit' | 'own' | 'model' | 'empty' }) {
  const [rx, ry] = [across(base) / 2, (deep(base) * foreshortening) / 2]
  const name = `shadow-base shadow-base-${kind}`
  return base.shape === 'rectangle' ? (
    <path
      class={name}
      d={`M${tenth(-rx)} ${tenth(ry)}L${tenth(-rx * 0.86)} ${tenth(-ry)}H${tenth(rx * 0.86)}L${tenth(rx)} ${tenth(ry)}Z`}
    />
  ) : (
    <ellipse class={name} cx="0" cy="0" rx={tenth(rx)} ry={tenth(ry)} />
  )
}

/** The longer side of a base runs along the front. */
const across = (base: Base) => (base.shape === 'round' ? base.widthMm : Math.max(base.widthMm, base.lengthMm ?? 0))
const deep = (base: Base) =>
  base.shape === 'round' ? base.widthMm : Math.min(base.widthMm, base.lengthMm ?? base.widthMm)

/** Width and height of the figure itself. What nobody has measured is a box as tall as noted, or as its scale and base suggest. */
export function bodyOf({ shadow, heightMm, base, scaleMm }: FigureSize): { width: number; height: number } {
  if (shadow) return { width: shadow.widthMm, height: shadow.heightMm }
  const height = heightMm ?? Math.max(scaleMm, base ? across(base) * 0.7 : 0)
  return { width: Math.min(height * 0.45, base ? across(base) * 0.7 : height), height }
}

/** Rings as an SVG path, y turned downwards, to a tenth of a millimetre. @param fromMm where the left edge stands */
export function outlinePath(outline: Outline, fromMm = 0): string {
  return outline.map((ring) => `M${ring.map(([x, y]) => `${tenth(x + fromMm)} ${tenth(-y)}`).join('L')}Z`).join('')
}

/** Finer than a pixel. */
export const tenth = (mm: number) => Math.round(mm * 10) / 10

/** A unit as a list draws it. */
export interface DrawnUnit {
  scaleMm: number
  base: Base | null
}

// Two lines of text: what a row of a list has beside its name.
const place = { heightPx: 44, widthPx: 52 }

/** Pixels a millimetre at which a unit's figure finds room in its line, whatever its neighbours are. */
export const unitScale = (unit: DrawnUnit & { shadow: FigureShadow | null }): number => scaleFor([unit], place)

/**
 * A unit in a list: the shadow of one that stands in for it, else a dashed box. From foot soldiers to giants, so every
 * drawing has a ruled centimetre.
 */
export function UnitShadow({ unit }: { unit: DrawnUnit & { shadow: FigureShadow | null } }) {
  return <Shadow figure={unit} stage={unit.shadow ? 'built' : 'wanted'} pxPerMm={unitScale(unit)} ruler />
}

/** The head of a page, or the room beside a form. */
const head = { heightPx: 110, widthPx: 150 }

/** Pixels a millimetre at which a unit is drawn in the head of a page. */
export const headScale = (unit: DrawnUnit & { shadow: FigureShadow | null }): number => scaleFor([unit], head)

/** What a page is about, as lists draw it: a dashed box while nothing that stands in for it was measured. */
export function UnitDrawing({ unit }: { unit: DrawnUnit & { shadow?: FigureShadow | null } }) {
  const figure = { ...unit, shadow: unit.shadow ?? null }
  const who = unit.shadow ? 'One that stands in for it' : 'A figure'
  return (
    <Shadow
      ruler
      figure={figure}
      stage={unit.shadow ? 'built' : 'wanted'}
      pxPerMm={headScale(figure)}
      label={`${who}${unit.base ? `, on its base: ${baseWords(unit.base)}` : ''}`}
    />
  )
}
