import type { Measure } from '../mesh/measure.ts'
import { measure } from '../mesh/measuring.ts'
import { betterUnit, saysItsUnit, type Unit } from '../mesh/units.ts'
import { type Asking, watching } from './watching.ts'

/** Of what begins in mid-air the largest are sent. */
const mostStarts = 200

/**
 * A form whose files are measured where they are: the numbers go into its hidden field, and the form is sent with them.
 * The files have no name in the form, so that they never are.
 */
export function startMeasuring(form: HTMLFormElement): void {
  const numbers = form.querySelector<HTMLInputElement>('input[name="measured"]')
  const files = form.querySelector<HTMLInputElement>('input[type="file"]')
  if (!files || !numbers) return
  form.closest('[data-needs-script]')?.removeAttribute('hidden')
  const watch = watching(form)
  form.addEventListener('submit', async (event) => {
    event.preventDefault()
    const found = await watch((asking) => measuredBy([...(files.files ?? [])], asked(form), asking))
    if (!found) return
    numbers.value = JSON.stringify(found)
    form.submit()
  })
}

/** What is asked beside the files. */
interface Asked {
  worker: string
  unit: Unit
  layerUm: number | null
  /** Scale that sizes are held against. */
  scaleMm: number | null
}

const usualLayerUm = 50

function asked(form: HTMLFormElement): Asked {
  const layer = form.querySelector<HTMLInputElement>('input[data-layer]')
  return {
    worker: form.dataset.measure ?? '',
    unit: unitIn(form),
    layerUm: layer && (Number(layer.value.replace(',', '.')) || usualLayerUm),
    scaleMm: Number(form.dataset.scale) || null,
  }
}

export const unitIn = (place: HTMLElement) =>
  (place.querySelector<HTMLSelectElement>('select[data-unit]')?.value ?? 'mm') as Unit

/** Measures; where the size fits another unit far better, asks, and measures in that one. */
export async function measuredBy(files: File[], { scaleMm, ...options }: Asked, asking: Asking): Promise<Measure> {
  const found = await measure(files, options, asking.onProgress, asking.signal)
  const isSaid = files.every(({ name }) => saysItsUnit(name))
  const largestMm = Math.max(found.widthMm, found.depthMm, found.heightMm)
  const better = isSaid || scaleMm === null ? null : betterUnit(largestMm, options.unit, scaleMm)
  const isBetter =
    better &&
    (await asking.question(`This is ${rounded(found.heightMm)} mm tall: ${words[better.unit]}?`, {
      yes: `Yes, in ${words[better.unit]}`,
      no: `No, in ${words[options.unit]}`,
    }))
  if (!better || !isBetter) return withLargest(found)
  return withLargest(await measure(files, { ...options, unit: better.unit }, asking.onProgress, asking.signal))
}

const words: Record<Unit, string> = { mm: 'millimetres', cm: 'centimetres', inch: 'inches', m: 'metres' }

const rounded = (mm: number) => new Intl.NumberFormat('en-GB', { maximumSignificantDigits: 3 }).format(mm)

const withLargest = (found: Measure): Measure => ({
  ...found,
  midAir: found.midAir?.toSorted((one, other) => other.areaMm2 - one.areaMm2).slice(0, mostStarts) ?? null,
})
