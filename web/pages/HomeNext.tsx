import { type PlannedStep, plannedStepWords, stepHref } from '../parts/step-words.ts'

export interface NextStep extends PlannedStep {
  rosterId: string
  roster: string
}

/** The next thing to do for each of the reader's rosters. */
export function HomeNext({ steps }: { steps: NextStep[] }) {
  if (steps.length === 0) return null
  return (
    <ul class="next-steps" id="next" aria-label="Next for your rosters">
      {steps.map((step) => (
        <li key={step.rosterId}>
          <strong>Next:</strong> <a href={stepHref(step.rosterId, step)}>{plannedStepWords(step)}</a>{' '}
          <span class="quiet">for {step.roster}</span>
        </li>
      ))}
    </ul>
  )
}
