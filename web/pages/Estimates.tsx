import { Columns, EmptyState } from '../parts/blocks.tsx'
import { Press } from '../parts/button-form.tsx'
import { agoForm, DateWords } from '../parts/date-words.tsx'
import { counted } from '../parts/numbers.ts'

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
              in {fit.sweeps} rounds.{' '}
              {fit.notCounted === 0 ? 'None is waiting to be counted' : notCountedWords(fit.notCounted)}.
            </p>
          )}
          {disagrees && (
            <p class="doubt">
              Two independent runs of the computation came to figures that differ more than they should. The next one
              runs twice as long; until then, treat figures that are close as equal.
            </p>
          )}
          {renewing && (
            <Press action="/estimates" class="actions" hidden={renewing.hidden} button="Update all estimates now" />
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

const notCountedWords = (plates: number) => `${counted(plates, 'plate is', 'plates are')} not counted yet`

const unfittedWords = (plates: number) =>
  plates === 0
    ? 'Nothing has been reported yet: the figures are typical values.'
    : 'The figures are being worked out for the first time. Until they are there, you see typical values.'

const across = 25
const step = 13
/** More squares than these are not looked at one by one. */
const most = 500

/** How many plates a square stands for: 1, 10, 100 and so on. */
export function platesASquare(plates: number): number {
  let each = 1
  while (plates / each > most) each *= 10
  return each
}

interface CountedProps {
  counted: number
  /** Not counted yet. */
  waiting: number
}

/** The group's plates as squares, as they lie: filled where the figures count them, hollow where they wait. */
export function PlatesCounted({ counted, waiting }: CountedProps) {
  const each = platesASquare(counted + waiting)
  const [filled, hollow] = [Math.ceil(counted / each), Math.ceil(waiting / each)]
  const all = filled + hollow
  return (
    <figure class="plates-counted">
      <svg
        width={across * step}
        height={Math.ceil(all / across) * step}
        viewBox={`0 0 ${across * step} ${Math.ceil(all / across) * step}`}
        aria-hidden="true"
      >
        {Array.from({ length: all }, (_, index) => (
          <rect
            key={index}
            class={index < filled ? 'plate-counted' : 'plate-waiting'}
            x={(index % across) * step + 1}
            y={Math.floor(index / across) * step + 2}
            width={step - 3}
            height={step - 5}
          />
        ))}
      </svg>
      <figcaption class="quiet">
        Each box is {each === 1 ? 'a plate' : `up to ${each} plates`}: filled once the figures count it
        {waiting > 0 && ', hollow while it waits'}.
      </figcaption>
    </figure>
  )
}

export interface Fit {
  /** Seconds since everything was last worked out; null before the first time. */
  sinceFitS: number | null
  /** That it was worked out from. */
  plates: number
  /** Plates that came, changed or went since. */
  notCounted: number
}

/** "The estimates were worked out 2 hours ago from 412 plates; 3 are not counted yet." */
export function Freshness({ fit }: { fit: Fit }) {
  return (
    <p class="quiet">
      {freshWords(fit)} <a href="/estimates">How fresh the estimates are</a>
    </p>
  )
}

export function freshWords({ sinceFitS, plates, notCounted }: Fit): string {
  if (sinceFitS === null)
    return notCounted === 0
      ? 'Nothing has been reported yet, so there are no estimates of your own.'
      : 'The figures are being worked out from your plates for the first time.'
  return `The estimates were worked out ${agoWords(sinceFitS / 60)} from ${counted(plates, 'plate')}${notCounted === 0 ? '' : `; ${notCountedWords(notCounted)}`}.`
}

/** "3 minutes ago", "2 hours ago", "yesterday", "5 days ago". */
function agoWords(minutes: number): string {
  if (minutes < 1) return 'just now'
  if (minutes < 90) return agoForm.format(-Math.round(minutes), 'minute')
  if (minutes < 36 * 60) return agoForm.format(-Math.round(minutes / 60), 'hour')
  return agoForm.format(-Math.round(minutes / 1440), 'day')
}
