import { hoursWords } from '../parts/hours.ts'

export interface NextStep {
  rosterId: string
  roster: string
  unit: string
  what: 'buy' | 'choose' | 'print' | 'build' | 'paint'
  models: number
  isMore: boolean
  plates: number | null
  hours: number | null
}

/** The next thing to do for each of the reader's rosters. */
export function HomeNext({ steps }: { steps: NextStep[] }) {
  if (steps.length === 0) return null
  return (
    <ul class="next-steps" id="next" aria-label="Next for your rosters">
      {steps.map((step) => (
        <li key={step.rosterId}>
          <strong>Next:</strong> <a href={`/rosters/${step.rosterId}#${placeOf(step)}`}>{stepWords(step)}</a>{' '}
          <span class="quiet">for {step.roster}</span>
        </li>
      ))}
    </ul>
  )
}

/** The section of the roster's page; the lists are there with a plan alone. */
function placeOf({ what, plates }: NextStep): string {
  if (what === 'print') return plates === null ? 'army' : 'printing'
  return { buy: 'shopping', choose: 'plan', build: 'army', paint: 'army' }[what]
}

/** "Print 3 more Wardens: 2 plates, 8 h 30 min" */
function stepWords({ what, models, unit, isMore, plates, hours }: NextStep): string {
  const words = { buy: 'Buy the file for', choose: 'Choose a file for', print: 'Print', build: 'Build', paint: 'Paint' }
  const isPart = isMore && (what === 'print' || what === 'buy' || what === 'choose')
  const step = `${words[what]} ${models}${isPart ? ' more' : ''} ${unit}`
  if (plates === null) return step
  const list = plates === 1 ? '1 plate' : `${plates} plates`
  return `${step}: ${list}${hours === null ? '' : `, ${hoursWords(hours)}`}`
}
