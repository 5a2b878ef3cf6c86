/** What a form does in the hand: the first thing to mend has the focus, and a second press doesn't send twice. */
export function startComforts(): void {
  document.querySelector<HTMLElement>('[data-focus]')?.focus()
  document.addEventListener('submit', sendOnce)
  // A page taken back from the browser's memory may be sent again.
  addEventListener('pageshow', ({ persisted }) => {
    if (persisted) for (const form of document.querySelectorAll('form[data-sent]')) form.removeAttribute('data-sent')
  })
}

/** After that long without an answer whoever presses again means it: the network was away, or loading was stopped. */
const patienceMs = 8000

function sendOnce(event: SubmitEvent): void {
  const form = event.target
  if (!(form instanceof HTMLFormElement) || event.defaultPrevented || form.method !== 'post') return
  if (form.hasAttribute('data-sent')) event.preventDefault()
  form.setAttribute('data-sent', '')
  setTimeout(() => form.removeAttribute('data-sent'), patienceMs)
}
