import type { Measure } from '../mesh/measure.ts'
import { resinOf, sizeWords } from '../parts/measure-words.ts'
import { measuredBy, unitIn } from './measure-files.ts'
import { watching } from './watching.ts'

const usualLayerUm = 50

/** Measures a file within a form about it: fills in what is still empty there, and lets the numbers go along. */
export function startMeasuringHere(place: HTMLElement): void {
  const button = place.querySelector('button')
  const files = place.querySelector<HTMLInputElement>('input[type="file"]')
  const numbers = place.querySelector<HTMLInputElement>('input[name="measured"]')
  const supports = place.querySelector<HTMLSelectElement>('select[name="measuredWith"]')
  if (!button || !files || !numbers) return
  place.closest('[data-needs-script]')?.removeAttribute('hidden')
  const watch = watching(place)
  const fieldOf = (name: string) =>
    numbers.form?.querySelector<HTMLInputElement>(`input[name="${place.dataset.prefix ?? ''}${name}"]`)
  button.addEventListener('click', async () => {
    const asked = {
      worker: place.dataset.measureHere ?? '',
      unit: unitIn(place),
      layerUm: supports?.value ? usualLayerUm : null,
      scaleMm: Number(fieldOf('scaleMm')?.value.replace(',', '.')) || null,
    }
    const found = await watch(async (asking) => measuredBy([...(files.files ?? [])], asked, asking), wordsFor)
    if (!found) return
    fillIn(fieldOf('heightMm'), found.heightMm.toFixed(1))
    if (!found.overlapping) fillIn(fieldOf('resinMl'), found.volumeMl.toFixed(2))
    numbers.value = JSON.stringify(found)
    numbers.dispatchEvent(new Event('input', { bubbles: true }))
  })
}

const wordsFor = (found: Measure) =>
  `${[sizeWords(found), resinOf(found)].filter(Boolean).join(', ')}. The numbers go with this form: send it to keep them.`

function fillIn(field: HTMLInputElement | null | undefined, text: string): void {
  if (field && field.value.trim() === '') field.value = text
}
