import { type Base, baseWords } from './base-size.tsx'

/**
 * The unit's and the file's base from above, to one scale, one on the other: whether it fits is seen at a glance.
 *
 * @param sizePx side of the drawing's square
 */
export function Bases({ unit, file, sizePx = 72 }: { unit: Base; file: Base; sizePx?: number }) {
  const reach = Math.max(longest(unit), longest(file)) / 2 + 2
  return (
    <svg
      class="bases"
      width={sizePx}
      height={sizePx}
      viewBox={`${-reach} ${-reach} ${2 * reach} ${2 * reach}`}
      role="img"
      aria-label={`The file's base, ${baseWords(file)}, on the unit's, ${baseWords(unit)}`}
    >
      <Shape base={file} name="base-own" />
      <Shape base={unit} name="base-unit" />
    </svg>
  )
}

/** A base from above in a place of its own; several at one scale make a ladder of sizes. Said in words beside it. */
export function BaseMark({ base, pxPerMm }: { base: Base; pxPerMm: number }) {
  const [width, depth] = [longest(base), base.shape === 'round' ? base.widthMm : shortest(base)]
  const px = (mm: number) => Math.round(mm * pxPerMm * 10) / 10 + 2
  return (
    <svg
      class="bases"
      width={px(width)}
      height={px(depth)}
      viewBox={`${-px(width) / 2} ${-px(depth) / 2} ${px(width)} ${px(depth)}`}
      aria-hidden="true"
      focusable="false"
    >
      <g transform={`scale(${pxPerMm})`}>
        <Shape base={base} name="base-own" />
      </g>
    </svg>
  )
}

/** Pixels a millimetre at which the longest of these bases is so wide, so that they can be told apart by eye. */
export function baseScale(bases: readonly (Base | null)[], widthPx: number): number {
  return widthPx / Math.max(40, ...bases.map((base) => (base ? longest(base) : 0)))
}

function Shape({ base, name }: { base: Base; name: string }) {
  const [x, y] = [longest(base) / 2, (base.shape === 'round' ? base.widthMm : shortest(base)) / 2]
  return base.shape === 'rectangle' ? (
    <rect class={name} x={-x} y={-y} width={2 * x} height={2 * y} />
  ) : (
    <ellipse class={name} cx="0" cy="0" rx={x} ry={y} />
  )
}

const longest = (base: Base) => Math.max(base.widthMm, base.lengthMm ?? 0)
const shortest = (base: Base) => Math.min(base.widthMm, base.lengthMm ?? base.widthMm)
