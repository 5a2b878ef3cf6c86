import type { Suggestion as Found } from '../parts/suggest-field.tsx'
import { element } from './element.ts'

/** The list under a combobox: what is in it, whether it is open, which line the arrow keys are at. */
export interface Proposals {
  element: HTMLElement
  isOpen(): boolean
  show(items: Found[]): void
  close(): void
  /** Moves by one line, round the ends. */
  move(by: 1 | -1): void
  /** The line the arrow keys are at. */
  current(): Found | undefined
}

/** @param choose called with the line that was pressed */
export function proposalsFor(input: HTMLInputElement, choose: (item: Found) => void): Proposals {
  const list = listFor(input)
  let items: Found[] = []
  let at = -1

  function mark(next: number): void {
    at = next
    for (const [index, line] of [...list.children].entries()) line.setAttribute('aria-selected', String(index === at))
    const line = list.children[at]
    if (line) input.setAttribute('aria-activedescendant', line.id)
    else input.removeAttribute('aria-activedescendant')
    line?.scrollIntoView({ block: 'nearest' })
  }

  function open(yes: boolean): void {
    list.hidden = !yes
    input.setAttribute('aria-expanded', String(yes))
    mark(-1)
  }

  return {
    element: list,
    isOpen: () => !list.hidden,
    show(found) {
      items = found
      list.replaceChildren(...items.map((item, index) => lineFor(item, `${list.id}-${index}`, () => choose(item))))
      open(items.length > 0)
    },
    close: () => open(false),
    move(by) {
      const from = at < 0 && by < 0 ? 0 : at
      mark((from + by + items.length) % items.length)
    },
    current: () => items[at],
  }
}

function listFor(input: HTMLInputElement): HTMLElement {
  const id = `${input.id}-proposals`
  const list = element('ul', { id, class: 'proposals', hidden: '', role: 'listbox', 'aria-label': 'Proposals' })
  // A press on the list must not take the focus out of the box, or the list would be gone before the click.
  list.addEventListener('mousedown', (event) => event.preventDefault())
  return list
}

/** Text only, never markup: the labels are what members typed. */
function lineFor(item: Found, id: string, choose: () => void): HTMLElement {
  const line = element('li', { id, role: 'option', 'aria-selected': 'false' }, item.label)
  if (item.note) line.append(' ', element('small', {}, item.note))
  line.addEventListener('click', choose)
  return line
}
