/**
 * A file that is chosen ticks the must-haves that it lists, and unticks what the one before had ticked; what the member
 * ticked or unticked by hand stays. The hidden field `ticked` tells the server that they were seen.
 */
export function startTicks(form: HTMLFormElement): void {
  const boxes = [...form.querySelectorAll<HTMLInputElement>('input[type="checkbox"]')]
  const seen = form.querySelector<HTMLInputElement>('input[name="ticked"]')
  const byHand = new Set<HTMLInputElement>()
  form.addEventListener('change', ({ target }) => {
    if (!(target instanceof HTMLInputElement)) return
    const { ticks } = target.dataset
    if (ticks === undefined) {
      byHand.add(target)
      return
    }
    const listed: string[] = JSON.parse(ticks)
    for (const box of boxes) if (!byHand.has(box)) box.checked = listed.includes(box.value)
    if (seen) seen.value = target.value
  })
}
