import { Press } from '../parts/button-form.tsx'

/** How far the planning has come. */
export interface Standing {
  state: 'running' | 'done' | 'lost'
  outOfDate: boolean
  ended: 'proven' | 'time limit' | 'stopped' | 'failed' | null
  proven: boolean
  coverProven: boolean
  gap: number | null
  progress: { phase: 'cover' | 'cost'; incumbent: number; bound: number | null } | null
}

/** What is proven, or how far it may be from the best. */
export function RosterStanding({ plan, rosterId }: { plan: Standing; rosterId: string }) {
  return (
    <>
      {plan.outOfDate && (
        <p class="hurdle">
          This plan is out of date: since it was begun the list was changed, a print no longer counts, or the resin
          costs or weighs something else. Plan again.
        </p>
      )}
      <p role="status">{standingWords(plan)}</p>
      {plan.state === 'running' && (
        <div class="actions">
          {/* With a fragment, a second press would only scroll: the address would be the same. */}
          <a class="button" href={`/rosters/${rosterId}`}>
            Look again
          </a>
          <Press id="stop-plan" action={`/rosters/${rosterId}/plan/stop`} button="Stop with the best so far" />
        </div>
      )}
    </>
  )
}

const percent = (share: number) => `${Math.max(0.1, Math.round(share * 1000) / 10)} %`

/** How good the plan is known to be, in a sentence or two. */
function standingWords(plan: Standing): string {
  const { state, ended, proven, coverProven, gap } = plan
  if (state === 'running') return runningWords(plan)
  if (state === 'lost')
    return 'The planning was interrupted: the service went away in the middle of it. This is the best plan that was known by then; plan again to go on.'
  if (proven) return 'Proven: no other choice of offers and files is better.'
  const why = {
    failed: 'The solver failed; this is the best plan that was known by then.',
    stopped: 'You stopped it; this is the best plan that was found by then.',
    'time limit': 'Time ran out; this is the best plan that was found by then.',
    proven: '',
  }[ended ?? 'proven']
  if (!coverProven) return `${why} Another one may leave out fewer entries.`
  return gap === null ? `${why} How far it is from the best is not known.` : `${why} ${gapWords(gap)}`
}

function runningWords({ gap, progress }: Standing): string {
  const words = 'This is the best plan so far; a better one is still being looked for.'
  if (progress?.phase === 'cover') {
    const { incumbent, bound } = progress
    const least = bound !== null && bound < incumbent ? `, and at least ${Math.max(0, bound)} will be` : ''
    return `${words} First: how few entries does the budget leave out? So far ${incumbent} are${least}.`
  }
  return gap === null ? words : `${words} ${gapWords(gap)}`
}

const gapWords = (gap: number) => `At most ${percent(gap)} of its sum, looks included, could still be saved.`
