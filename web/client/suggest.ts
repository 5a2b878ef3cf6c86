import type { Suggestion as Found } from '../parts/suggest-field.tsx'
import { element, statusLine } from './element.ts'
import { type Proposals, proposalsFor } from './proposals.ts'

const waitMs = 180
const leastLetters = 2

/**
 * Proposals under a text box, as a combobox with a list (WAI-ARIA Authoring Practices: the focus stays in the box,
 * `aria-activedescendant` names the line). Choosing sets the hidden field named by `data-suggest-target`; a box without
 * a target leads to the page of what was chosen.
 */
export function startSuggest(input: HTMLInputElement): void {
  const chosen = statusLine('chosen')
  const status = statusLine('visually-hidden')
  const proposals = proposalsFor(input, choose)
  furnish(input, proposals, status, chosen)

  function choose(item: Found): void {
    const target = targetOf(input)
    if (target === null) {
      goTo(item.href)
      return
    }
    input.value = item.label
    target.value = item.id
    showChosen(chosen, item)
    proposals.close()
  }

  const look = lookUp(input, (found) => {
    proposals.show(found)
    status.textContent = foundWords(found.length)
  })
  input.addEventListener('input', () => {
    forget(input, chosen)
    proposals.close()
    look()
  })
  input.addEventListener('keydown', (event) => {
    if (proposals.isOpen() && steer(event.key, proposals, choose)) event.preventDefault()
  })
  input.addEventListener('blur', () => proposals.close())
  // Whoever types faster than the script arrives is answered, too.
  if (document.activeElement === input && input.value !== input.defaultValue) look()
}

/** @returns whether the key was meant for the list */
function steer(key: string, proposals: Proposals, choose: (item: Found) => void): boolean {
  const item = proposals.current()
  if (key === 'ArrowDown') proposals.move(1)
  else if (key === 'ArrowUp') proposals.move(-1)
  else if (key === 'Escape') proposals.close()
  else if (key === 'Enter' && item) choose(item)
  else return false
  return true
}

/** Asks a moment after the last letter; an answer that comes after further letters is dropped. */
function lookUp(input: HTMLInputElement, tell: (found: Found[]) => void): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined
  let running = new AbortController()
  return () => {
    clearTimeout(timer)
    running.abort()
    running = new AbortController()
    const { signal } = running
    if (input.value.trim().length < leastLetters) return
    timer = setTimeout(async () => {
      // Without an answer the box still takes what is typed, and the page proposes after sending.
      const found = await fetchFound(input, signal).catch(() => null)
      if (found && !signal.aborted && document.activeElement === input) tell(found)
    }, waitMs)
  }
}

async function fetchFound(input: HTMLInputElement, signal: AbortSignal): Promise<Found[]> {
  const address = new URL(input.dataset.suggest ?? '', location.href)
  address.searchParams.set('q', input.value.trim())
  const answer = await fetch(address, { headers: { accept: 'application/json' }, signal })
  if (!answer.ok) throw new Error(`answered ${answer.status}`)
  const { items } = (await answer.json()) as { items: Found[] }
  return items
}

function furnish(input: HTMLInputElement, { element }: Proposals, status: HTMLElement, chosen: HTMLElement): void {
  input.after(element, status)
  input.parentElement?.after(chosen)
  input.setAttribute('role', 'combobox')
  input.setAttribute('aria-autocomplete', 'list')
  input.setAttribute('aria-expanded', 'false')
  input.setAttribute('aria-controls', element.id)
}

/** The hidden field of the chosen id; the server's own list of radio buttons gives way to it. */
function targetOf(input: HTMLInputElement): HTMLInputElement | null {
  const name = input.dataset.suggestTarget
  if (!name || !input.form) return null
  const known = input.form.querySelector<HTMLInputElement>(`input[type="hidden"][name="${CSS.escape(name)}"]`)
  if (known) return known
  input.closest('.field')?.querySelector('.suggest-found')?.remove()
  const hidden = element('input', { type: 'hidden', name })
  input.after(hidden)
  return hidden
}

/** Text that was changed no longer means what was chosen. */
function forget(input: HTMLInputElement, chosen: HTMLElement): void {
  const target = targetOf(input)
  if (target) target.value = ''
  chosen.replaceChildren()
}

function showChosen(chosen: HTMLElement, { label, note, href }: Found): void {
  const address = ownAddress(href)
  chosen.replaceChildren(`Chosen: ${label}. `)
  if (note) chosen.append(address === null ? note : element('a', { href: address.href }, note))
}

function goTo(href: string | null | undefined): void {
  const address = ownAddress(href)
  if (address) location.assign(address)
}

/** Only pages of this service are led to. */
function ownAddress(href: string | null | undefined): URL | null {
  if (!href || !URL.canParse(href, location.href)) return null
  const address = new URL(href, location.href)
  return address.origin === location.origin ? address : null
}

function foundWords(count: number): string {
  if (count === 0) return 'Nothing like it is known yet.'
  return count === 1 ? '1 suggestion, arrow keys to choose.' : `${count} suggestions, arrow keys to choose.`
}
