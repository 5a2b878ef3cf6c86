import { Columns, EmptyState } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { DateWords } from '../parts/date-words.tsx'
import { counted } from '../parts/numbers.ts'
import { PlatesCounted } from '../parts/plates-counted.tsx'

interface Props {
  /** The last time that everything was worked out; null before the first. */
  fit: { fittedAt: string | null; plates: number; notCounted: number; sweeps: number }
  /** Whether its two runs came to figures that differ more than they should. */
  disagrees: boolean
  /** For stewards. */
  renewing?: { hidden: Record<string, string> } | undefined
}

/** How fresh the group's estimates are: worked out from all plates together, and what is not counted yet. */
export function Estimates({ fit, disagrees, renewing }: Props) {
  return (
    <Columns
      main={
        <>
          <p>
            Every figure is worked out from all plates together, a few seconds after a new one is reported; in a very
            large group up to an hour. Until then a failed plate is judged by what was known before it.
          </p>
          {fit.fittedAt === null ? (
            <EmptyState words={unfittedWords(fit.notCounted)} />
          ) : (
            <p class="lead">
              Worked out <DateWords on={fit.fittedAt} as="both" /> from <strong>{counted(fit.plates, 'plate')}</strong>,
              in {fit.sweeps} rounds. {waitingWords(fit.notCounted)}
            </p>
          )}
          {disagrees && (
            <p class="doubt">
              Two independent runs of the computation came to figures that differ more than they should. The next one
              takes twice as long over it; until then, take figures that are close for equal.
            </p>
          )}
          {renewing && (
            <Press action="/estimates" class="actions" hidden={renewing.hidden} button="Work everything out now" />
          )}
          <p>
            <a href="/help#blame">What is worked out, and from what</a>
          </p>
        </>
      }
      aside={fit.plates + fit.notCounted > 0 && <PlatesCounted counted={fit.plates} waiting={fit.notCounted} />}
    />
  )
}

const waitingWords = (plates: number) =>
  plates === 0 ? 'None is waiting to be counted.' : `${counted(plates, 'plate is', 'plates are')} not counted yet.`

const unfittedWords = (plates: number) =>
  plates === 0
    ? 'Nothing was reported yet: the figures are what is usual in the trade.'
    : 'The figures are being worked out for the first time. Until they are there, you see what is usual in the trade.'
