import { render } from 'preact'
import type { Base } from '../parts/base.ts'
import { Described, type DescribedProps, type Typed } from '../parts/described.tsx'
import type { FigureShadow } from '../parts/outline.ts'

/** Draws what a form describes anew with each change of it, by the same part that the server drew it with. */
export function startDescribed(place: HTMLElement): void {
  const form = place.closest('form')
  const { described, prefix = '', unitBase, picture } = place.dataset
  if (!form) return
  const textIn = (name: string) => {
    const field = form.elements.namedItem(name)
    return field instanceof HTMLInputElement || field instanceof HTMLSelectElement ? field.value : ''
  }
  const typed: Typed = (field) => textIn(`${prefix}${field}`)
  const props = {
    what: (described ?? 'file') as DescribedProps['what'],
    picture: picture ? (JSON.parse(picture) as DescribedProps['picture']) : null,
    unitBase: unitBase ? (JSON.parse(unitBase) as Base) : null,
    typed,
  }
  const draw = () => render(<Described {...props} shadow={shadowIn(textIn('measured'))} />, place)
  place.replaceChildren()
  form.addEventListener('input', draw)
  draw()
}

/** The numbers of a file that was measured in this form, as they go along with it. */
function shadowIn(measured: string): FigureShadow | null {
  if (measured === '') return null
  const { front, widthMm, heightMm } = JSON.parse(measured) as { front?: FigureShadow['front'] } & FigureShadow
  return front ? { front, widthMm, heightMm } : null
}
