/** What a `data-suggest` endpoint answers to `?q=`: `{ items: Found[] }`. */
export interface Found {
  id: string
  label: string
  note?: string | null
  href?: string | null
}

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
  const element = listFor(input)
  let items: Found[] = []
  let at = -1

  function mark(next: number): void {
    at = next
    for (const [index, line] of [...element.children].entries())
      line.setAttribute('aria-selected', String(index === at))
    const line = element.children[at]
    if (line) input.setAttribute('aria-activedescendant', line.id)
    else input.removeAttribute('aria-activedescendant')
    line?.scrollIntoView({ block: 'nearest' })
  }

  function open(yes: boolean): void {
    element.hidden = !yes
    input.setAttribute('aria-expanded', String(yes))
    mark(-1)
  }

  return {
    element,
    isOpen: () => !element.hidden,
    show(found) {
      items = found
      element.replaceChildren(
        ...items.map((item, index) => lineFor(item, `${element.id}-${index}`, () => choose(item))),
      )
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
  const list = document.createElement('ul')
  list.id = `${input.id}-proposals`
  list.className = 'proposals'
  list.hidden = true
  list.setAttribute('role', 'listbox')
  list.setAttribute('aria-label', 'Proposals')
  // A press on the list must not take the focus out of the box, or the list would be gone before the click.
  list.addEventListener('mousedown', (event) => event.preventDefault())
  return list
}

/** Text only, never markup: the labels are what members typed. */
function lineFor(item: Found, id: string, choose: () => void): HTMLElement {
  const line = document.createElement('li')
  line.id = id
  line.setAttribute('role', 'option')
  line.setAttribute('aria-selected', 'false')
  line.append(item.label)
  if (item.note) {
    const note = document.createElement('small')
    note.textContent = item.note
    line.append(' ', note)
  }
  line.addEventListener('click', choose)
  return line
}
