interface Props {
  marks: readonly number[]
  /** Where a share from 0 to 1 stands, in px. */
  heightOf: (share: number) => number
  /** The one from which something is due. */
  limit?: number
}

/** Lines across a chart of shares, each with its number of 100 at the left. */
export function Rulers({ marks, heightOf, limit }: Props) {
  return (
    <>
      {marks.map((mark) => (
        <g key={mark}>
          <line
            class={mark === limit ? 'ruler film-limit' : 'ruler'}
            x1="0"
            x2="100%"
            y1={heightOf(mark / 100)}
            y2={heightOf(mark / 100)}
          />
          <text class="ruler-words" x="-8" y={heightOf(mark / 100) + 4} text-anchor="end">
            {mark}
          </text>
        </g>
      ))}
    </>
  )
}
