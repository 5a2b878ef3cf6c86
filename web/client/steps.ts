import { button } from './element.ts'

/** Adds a "fewer" and a "more" button to a count: a gloved finger hits a button sooner than a keyboard. */
export function startSteps(input: HTMLInputElement): void {
  const label = input.dataset.steps ?? ''
  const named = (words: string) => ({ class: 'button step', 'aria-label': `${words}: ${label}` })
  input.before(button('−', () => step(input, -1), named('One fewer')))
  input.after(button('+', () => step(input, 1), named('One more')))
}

/** Whatever is no number counts as none, or as all where one fewer of a known number is meant; never below none. */
function step(input: HTMLInputElement, by: 1 | -1): void {
  const now = Number.parseInt(input.value, 10)
  const unsaid = by < 0 ? Number(input.dataset.all ?? 0) : 0
  input.value = String(Math.max(0, (Number.isNaN(now) ? unsaid : now) + by))
  input.dispatchEvent(new Event('input', { bubbles: true }))
}
