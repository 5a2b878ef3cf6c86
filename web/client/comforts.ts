/** Small comforts: what a form does in the hand. All of it works without. */
export function startComforts(): void {
  document.querySelector<HTMLElement>('[data-focus]')?.focus()
  document.addEventListener('submit', sendOnce)
  // A page taken back from the browser's memory may be sent again.
  addEventListener('pageshow', (event) => {
    if (event.persisted)
      for (const form of document.querySelectorAll('form[data-sent]')) form.removeAttribute('data-sent')
  })
}

/** A second press on the same button while the first is under way would post twice. */
function sendOnce(event: SubmitEvent): void {
  const form = event.target as HTMLFormElement
  if (event.defaultPrevented || form.method !== 'post') return
  if (form.dataset.sent === 'true') event.preventDefault()
  form.dataset.sent = 'true'
}
