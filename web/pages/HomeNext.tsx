import { platesWords, type Step, stepWords } from '../parts/step-words.ts'

export interface NextStep extends Step {
  rosterId: string
  roster: string
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
          <strong>Next:</strong> <a href={`/rosters/${step.rosterId}#${placeOf(step)}`}>{wordsOf(step)}</a>{' '}
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

const wordsOf = (step: NextStep) =>
  step.plates === null
    ? stepWords(step)
    : `${stepWords(step)}: ${platesWords({ plates: step.plates, hours: step.hours })}`
