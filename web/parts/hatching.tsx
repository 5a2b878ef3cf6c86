/**
 * Ways to fill a piece of a bar, told apart without colour, as in a drawing in ink. Each is named after the one thing that
 * it stands for: the terms of a cost, and the three stages that a failure may come from.
 */
export type Hatching =
  | 'price'
  | 'resin'
  | 'plates'
  | 'failures'
  | 'snags'
  | 'looks'
  | 'other'
  | 'file'
  | 'machine'
  | 'crowding'
  | 'painted'

/** Attribute, not style: in a style sheet `url(#…)` would look inside the style sheet's own file. */
export function hatch(kind: Hatching): string {
  return `url(#hatch-${kind})`
}

/** Once a page: the patterns that every bar refers to. Kept out of the flow by style, since hidden patterns don't paint. */
export function HatchPatterns() {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true">
      <defs>
        <Pattern kind="price" size={8} lines="" />
        <Pattern kind="resin" size={7} lines="M-1 1 1 -1 M0 7 7 0 M6 8 8 6" />
        <Pattern kind="plates" size={6} lines="M3 0V6" />
        <Pattern kind="failures" size={7} lines="M0 0 7 7 M7 0 0 7" />
        <Pattern kind="snags" size={5} lines="M0 2.5H5" />
        <Pattern kind="looks" size={6} lines="M2 3h1.6" />
        <Pattern kind="other" size={8} lines="M2 4h4 M4 2v4" />
        <Pattern kind="file" size={9} lines="M0 6 4.5 2 9 6" />
        <Pattern kind="machine" size={9} lines="M7 4.5a2.5 2.5 0 1 1-5 0a2.5 2.5 0 1 1 5 0" />
        <Pattern kind="crowding" size={9} lines="M1.5 1.5h6v6h-6z" />
        <Pattern kind="painted" size={5} lines="M-1 1 1 -1 M0 5 5 0 M4 6 6 4" />
      </defs>
    </svg>
  )
}

function Pattern({ kind, size, lines }: { kind: Hatching; size: number; lines: string }) {
  return (
    <pattern id={`hatch-${kind}`} width={size} height={size} patternUnits="userSpaceOnUse">
      <rect class={`wash wash-${kind}`} width={size} height={size} />
      <path class={`stroke stroke-${kind}`} d={lines} />
    </pattern>
  )
}

/** A small sample of a filling, for legends. */
export function Swatch({ kind }: { kind: Hatching }) {
  return (
    <svg class="swatch" width="22" height="14" aria-hidden="true">
      <rect class={`bar-piece bar-${kind}`} x="0.5" y="0.5" width="21" height="13" fill={hatch(kind)} />
    </svg>
  )
}

export interface Piece {
  key: string
  kind: Hatching
  /** Share of the whole width, 0 to 1. */
  share: number
}

/**
 * Pieces laid end to end on a line as wide as the page gives. For the eye only: whoever uses it says the same in words.
 *
 * Widths are percentages of the drawing, so that it stretches while its hatching does not.
 */
export function StackedBar({ pieces, height = 26 }: { pieces: Piece[]; height?: number }) {
  let start = 0
  const placed = pieces.map((piece) => {
    const x = start
    start += piece.share
    return { ...piece, x }
  })
  return (
    <svg class="bar" width="100%" height={height + 2} aria-hidden="true">
      {placed
        .filter(({ share }) => share > 0)
        .map(({ key, kind, share, x }) => (
          <rect
            key={key}
            class={`bar-piece bar-${kind}`}
            x={percent(x)}
            y="1"
            width={percent(share)}
            height={height}
            fill={hatch(kind)}
          />
        ))}
    </svg>
  )
}

/** A share as a length in a drawing: two decimals are finer than a pixel. */
export function percent(share: number): string {
  return `${Number((share * 100).toFixed(2))}%`
}
