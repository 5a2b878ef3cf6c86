/** Lines across a chart of shares, each with its number of 100 at the left. @param heightOf where a share from 0 to 1 stands, in px */
export function Rulers({ marks, heightOf }: { marks: readonly number[]; heightOf: (share: number) => number }) {
  return (
    <>
      {marks.map((mark) => (
        <g key={mark}>
          <line class="ruler" x1="0" x2="100%" y1={heightOf(mark / 100)} y2={heightOf(mark / 100)} />
          <text class="ruler-words" x="-8" y={heightOf(mark / 100) + 4} text-anchor="end">
            {mark}
          </text>
        </g>
      ))}
    </>
  )
}
