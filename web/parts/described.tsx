import { type Base, baseWords, unitWords } from './base.ts'
import { DescribedMachine } from './described-machine.tsx'
import { DescribedPicture, type WholePicture } from './described-picture.tsx'
import { type MoneyValue, moneyWords } from './money.tsx'
import type { FigureShadow } from './outline.ts'
import { type FigureSize, Shadow, scaleFor } from './shadow.tsx'

/** Reads what is typed in a field, by its name in the form without the prefix; empty where there is no such field. */
export type Typed = (field: string) => string

export interface DescribedProps {
  what: 'unit' | 'file' | 'printer' | 'picture'
  typed: Typed
  locale: string
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
/** Nor anything dearer; far larger numbers are not even written out in digits. */
const mostAmount = 1e9

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

function DescribedFigure({ what, typed, locale, unitBase = null, shadow = null }: DescribedProps) {
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
          <>
            <p>{unitWords({ scaleMm, base, modelsPerUnit: number(typed('modelsPerUnit')) })}</p>
            <p>{boxWords(typed, locale)}</p>
          </>
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
  return facts.length > 0 ? facts.join(', ') : 'Say its scale or its base, and it is drawn to that.'
}

/** "The box €36.00, €3.60 a model": what every stand-in is set against. */
function boxWords(typed: Typed, locale: string): string {
  const amount = Number(typed('retailPrice.amount').trim().replace(',', '.'))
  const currency = typed('retailPrice.currency')
  if (!(amount > 0 && amount < mostAmount) || !/^[A-Z]{3}$/.test(currency))
    return 'Add the price of its box to compare stand-ins with it.'
  const models = number(typed('modelsPerUnit')) ?? 1
  const words = (value: number) => moneyWords(moneyOf(value, currency, locale), locale)
  return models > 1 ? `The box ${words(amount)}, ${words(amount / models)} a model` : `The box ${words(amount)}`
}

function moneyOf(value: number, currency: string, locale: string): MoneyValue {
  const { maximumFractionDigits } = new Intl.NumberFormat(locale, { style: 'currency', currency }).resolvedOptions()
  return { amount: value.toFixed(maximumFractionDigits), currency }
}
