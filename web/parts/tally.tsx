import { voteWords } from './votes.tsx'

const pawn = 'M4 0a2.3 2.3 0 1 1-.01 0M.5 14c0-6 1.5-8 3.5-8s3.5 2 3.5 8z'

/** A member, as in a tally of votes. */
export function Pawn() {
  return (
    <svg width="20" height="36" viewBox="-1 -1 10 16" aria-hidden="true">
      <path class="pawn" d={pawn} />
    </svg>
  )
}

// More would not be counted at a glance.
const most = 24

/** One pawn a vote: filled for those who would field it, hollow for those who would not. Beyond a glance, in words. */
export function Tally({ votes }: { votes: { yes: number; no: number } }) {
  const all = votes.yes + votes.no
  if (all === 0 || all > most) return <span class="tally">{all === 0 ? 'no votes yet' : voteWords(votes)}</span>
  const across = Math.ceil(all / 2)
  return (
    <span class="tally">
      <svg width={across * 10 + 2} height={all > across ? 34 : 17} aria-hidden="true">
        {Array.from({ length: all }, (_, index) => (
          <path
            key={index}
            class={index < votes.yes ? 'pawn' : 'pawn pawn-no'}
            transform={`translate(${(index % across) * 10 + 1} ${index < across ? 1 : 18})`}
            d={pawn}
          />
        ))}
      </svg>
      <span class="visually-hidden">{voteWords(votes)}</span>
    </span>
  )
}
