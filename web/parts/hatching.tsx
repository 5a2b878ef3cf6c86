/** Ways to fill a piece of a bar: told apart without colour, as in a drawing in ink. */
export type Hatching = 'price' | 'resin' | 'failures' | 'snag' | 'looks'

/** Attribute, not style: in a style sheet `url(#…)` would look inside the style sheet's own file. */
export function hatch(kind: Hatching): string {
  return `url(#hatch-${kind})`
}

/** Once a page: the patterns that every bar refers to. Kept out of the flow by style, since hidden patterns don't paint. */
export function HatchPatterns() {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true" focusable="false">
      <defs>
        <Pattern kind="price" size={8} lines="" />
        <Pattern kind="resin" size={6} lines="M-1 1 1 -1 M0 6 6 0 M5 7 7 5" />
        <Pattern kind="failures" size={7} lines="M0 0 7 7 M7 0 0 7" />
        <Pattern kind="snag" size={5} lines="M2.5 0V5" />
        <Pattern kind="looks" size={6} lines="M2 3h2" />
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
