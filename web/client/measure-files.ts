import type { Measure } from '../mesh/measure.ts'
import { measure } from '../mesh/measuring.ts'
import type { Unit } from '../mesh/units.ts'

/** Of what begins in mid-air the largest are sent. */
const mostStarts = 200

/**
 * A form whose files are measured where they are: the numbers go into its hidden field, and the form is sent with them.
 * The files have no name in the form, so that they never are.
 */
export function startMeasuring(form: HTMLFormElement): void {
  const files = form.querySelector<HTMLInputElement>('input[type="file"]')
  const numbers = form.querySelector<HTMLInputElement>('input[name="measured"]')
  if (!files || !numbers) return
  form.closest('[data-needs-script]')?.removeAttribute('hidden')
  const watch = watching(form)
  form.addEventListener('submit', async (event) => {
    event.preventDefault()
    const found = await watch.run((onProgress, signal) =>
      measure([...(files.files ?? [])], optionsOf(form), onProgress, signal),
    )
    if (!found) return
    numbers.value = JSON.stringify(sendable(found))
    form.submit()
  })
}

function optionsOf(form: HTMLFormElement) {
  const unit = form.querySelector<HTMLSelectElement>('select[name="unit"]')?.value ?? 'mm'
  const layer = form.querySelector<HTMLInputElement>('input[data-layer]')
  const layerUm = layer ? Number(layer.value.replace(',', '.')) || 50 : null
  return { worker: form.dataset.measure ?? '', unit: unit as Unit, layerUm }
}

/** What the server takes: the largest of what begins in mid-air, where there is a great lot. */
export const sendable = (found: Measure): Measure => ({
  ...found,
  midAir: found.midAir && found.midAir.toSorted((one, other) => other.areaMm2 - one.areaMm2).slice(0, mostStarts),
})

type Work = (onProgress: (share: number, doing: string) => void, signal: AbortSignal) => Promise<Measure>

/** Shows how far the measuring is, with a button that ends it, and says what went wrong. */
export function watching(place: HTMLElement) {
  const bar = document.createElement('progress')
  bar.max = 1
  const words = document.createElement('p')
  words.setAttribute('role', 'status')
  const cancel = document.createElement('button')
  cancel.type = 'button'
  cancel.className = 'button'
  cancel.textContent = 'Cancel'
  const shown = document.createElement('div')
  shown.className = 'measuring'
  shown.hidden = true
  bar.setAttribute('aria-label', 'How far the measuring is')
  shown.append(bar, cancel)
  place.append(words, shown)
  let running: AbortController | undefined
  cancel.addEventListener('click', () => running?.abort())

  return {
    /** @returns undefined when it was ended, or the files can't be measured: then it says why */
    async run(work: Work): Promise<Measure | undefined> {
      running?.abort()
      const mine = new AbortController()
      running = mine
      shown.hidden = false
      bar.value = 0
      words.className = ''
      try {
        return await work((share, doing) => {
          bar.value = share
          words.textContent = doing
        }, mine.signal)
      } catch (error) {
        if (mine.signal.aborted) words.textContent = mine === running ? 'Nothing was measured.' : words.textContent
        else {
          words.className = 'hurdle'
          words.textContent = error instanceof Error ? error.message : String(error)
        }
        return undefined
      } finally {
        if (mine === running) shown.hidden = true
      }
    },
  }
}
