import type { ComponentChildren } from 'preact'
import { percent } from './hatching.tsx'

/** Where a share from 0 to 1 stands in a chart, in px from its upper edge. */
export const heightIn =
  ({ top, bottom }: { top: number; bottom: number }) =>
  (share: number) =>
    Number((bottom - share * (bottom - top)).toFixed(1))

interface Props {
  class: string
  heightPx: number
  /** What it shows, and what is seen in it, for those who hear the page. */
  label: string
  /** Lines across, each with its number of 100 at the left. */
  marks: readonly number[]
  heightOf: (share: number) => number
  /** The mark from which something is due. */
  limit?: number
  caption: ComponentChildren
  children: ComponentChildren
  /** Below the caption. */
  more?: ComponentChildren
}

/** A chart of shares on ruled lines. */
export function Chart({ heightPx, label, marks, heightOf, limit, caption, children, more, ...props }: Props) {
  return (
    <figure {...props}>
      <svg width="100%" height={heightPx} role="img" aria-label={label}>
        {marks.map((mark) => {
          const y = heightOf(mark / 100)
          return (
            <g key={mark}>
              <line class={mark === limit ? 'ruler film-limit' : 'ruler'} x1="0" x2="100%" y1={y} y2={y} />
              <text class="ruler-words" x="-8" y={y + 4} text-anchor="end">
                {mark}
              </text>
            </g>
          )
        })}
        {children}
      </svg>
      <figcaption class="quiet">{caption}</figcaption>
      {more}
    </figure>
  )
}

/** A day of upkeep: a broken line with a dot on it. @param at share of the width */
export function UpkeepMark({ at, top, bottom }: { at: number; top: number; bottom: number }) {
  return (
    <>
      <line class="upkeep-mark" x1={percent(at)} x2={percent(at)} y1={top - 10} y2={bottom} />
      <circle class="upkeep-dot" cx={percent(at)} cy={top - 12} r="4" />
    </>
  )
}
