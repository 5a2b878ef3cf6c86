import { Button } from './blocks.tsx'
import { Form } from './form.tsx'
import { remembered } from './remembered.tsx'

/** "11 would field it, 2 would not". */
export function voteWords({ yes, no }: { yes: number; no: number }): string {
  if (yes === 0 && no === 0) return 'Nobody has said yet whether they would field it'
  if (no === 0) return `${yes} would field it, nobody would not`
  return `${yes} would field it, ${no} would not`
}

export interface VoteFormProps {
  /** Takes a POST with `wouldField` "true" or "false", or empty to take the answer back. */
  action: string
  /** What the vote is about, heard with each button: several such forms stand on one page. */
  about: string
  /** This member's answer so far. */
  mine: boolean | null
  /** Sent along: where to go back to, for instance. */
  hidden?: Record<string, string>
}

/** "Would you field it?": two plain buttons; the answer given is said in words. */
export const VoteForm = remembered(({ action, about, mine, hidden }: VoteFormProps) => {
  return (
    <Form class="vote" action={action} id={`vote-${action.replace(/[^A-Za-z0-9]+/g, '-')}`} hidden={hidden ?? {}}>
      <p class="vote-question">
        Would you field it?
        {mine !== null && <strong> Your answer: {mine ? 'yes' : 'no'}.</strong>}
      </p>
      <div class="actions">
        {mine !== true && (
          <Button name="wouldField" value="true" label={`Yes, I would field it: ${about}`}>
            Yes, I would field it
          </Button>
        )}
        {mine !== false && (
          <Button name="wouldField" value="false" label={`No, I would not field it: ${about}`}>
            No
          </Button>
        )}
        {mine !== null && (
          <Button name="wouldField" value="" label={`Take my answer back: ${about}`}>
            Take my answer back
          </Button>
        )}
      </div>
    </Form>
  )
}, 500)

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
