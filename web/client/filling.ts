import { type Filling, fillingWords } from '../parts/filling.ts'

/** Says anew how full the plate is, as worked out, with each change of the copies or the printer. */
export function startFilling(note: HTMLElement): void {
  const form = note.closest('form')
  const filling: Filling = JSON.parse(note.dataset.filling ?? 'null')
  if (!form || !filling) return
  const value = (name: string) => String(new FormData(form).get(name) ?? '').trim()
  const say = () => {
    note.textContent = fillingWords(filling, Number(value('prints.0.tried') || 'none'), value('printerId'))
  }
  form.addEventListener('input', say)
  say()
}
