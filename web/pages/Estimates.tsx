import { Section } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { counted } from '../parts/numbers.ts'

export interface EstimatesProps {
  /** The last time that everything was worked out; null before the first. */
  fittedAt: string | null
  plates: number
  /** Plates that came, changed or went since. */
  notCounted: number
  /** Whether its two runs came to figures that differ more than they should. */
  disagrees: boolean
  /** What makes each press of a steward's one; null for everybody else. */
  renewing: Record<string, string> | null
}

/** How fresh the group's estimates are. */
export function Estimates({ fittedAt, plates, notCounted, disagrees, renewing }: EstimatesProps) {
  return (
    <Section heading="How fresh the estimates are" id="estimates">
      <p>
        Every figure is worked out from all plates together, a few seconds after a new one is reported; in a very large
        group up to an hour. Until then a failed plate is judged by what was known before it.
      </p>
      <p>
        {fittedAt === null ? (
          unfittedWords(notCounted)
        ) : (
          <>
            Worked out <DateWords on={fittedAt} as="both" /> from {counted(plates, 'plate')}.
            {notCounted > 0 && ` ${counted(notCounted, 'plate is', 'plates are')} not counted yet.`}
          </>
        )}
      </p>
      {disagrees && (
        <p class="doubt">
          Two independent runs of the computation came to figures that differ more than they should. The next one runs
          twice as long; until then, treat figures that are close as equal.
        </p>
      )}
      {renewing && (
        <Press
          action="/settings/estimates"
          id="renew"
          class="actions"
          hidden={renewing}
          button="Update all estimates now"
        />
      )}
      <p>
        <a href="/help#blame">What is worked out, and from what</a>
      </p>
    </Section>
  )
}

const unfittedWords = (plates: number) =>
  plates === 0
    ? 'Nothing has been reported yet: the figures are typical values.'
    : 'The figures are being worked out for the first time. Until they are there, you see typical values.'
