import { button, element } from './element.ts'

/** How a long work tells how far it is, asks what it has to know, and learns that it is to end. */
export interface Asking {
  onProgress: (share: number, doing: string) => void
  signal: AbortSignal
  question: (words: string, answers: { yes: string; no: string }) => Promise<boolean>
}

/**
 * Shows at the end of a place how far some work is, with a button that ends it, and says what went wrong.
 *
 * @returns carries work out, and says at last what `wordsFor` has it; gives undefined where it was ended, or failed
 */
export function watching(place: HTMLElement) {
  const said = element('p', { role: 'status' })
  const bar = element('progress', { max: '1', 'aria-label': 'How far it has got' })
  const buttons = element('div', { class: 'actions' })
  place.append(said, bar, buttons)
  bar.hidden = true
  let running: AbortController | undefined

  const question: Asking['question'] = (words, { yes, no }) =>
    new Promise((resolve) => {
      bar.hidden = true
      said.textContent = words
      buttons.replaceChildren(
        button(yes, () => resolve(true)),
        button(no, () => resolve(false)),
      )
      buttons.querySelector('button')?.focus()
    })

  return async function watch<Found>(
    work: (asking: Asking) => Promise<Found>,
    wordsFor?: (found: Found) => string,
  ): Promise<Found | undefined> {
    running?.abort()
    const mine = new AbortController()
    running = mine
    const cancel = button('Cancel', () => mine.abort())
    said.className = ''
    const onProgress: Asking['onProgress'] = (share, doing) => {
      if (buttons.firstElementChild !== cancel) buttons.replaceChildren(cancel)
      bar.hidden = false
      bar.value = share
      if (said.textContent !== doing) said.textContent = doing
    }
    onProgress(0, 'Starting.')
    try {
      const found = await work({ onProgress, question, signal: mine.signal })
      if (wordsFor && running === mine) said.textContent = wordsFor(found)
      return found
    } catch (error) {
      if (running !== mine) return undefined
      said.className = mine.signal.aborted ? '' : 'hurdle'
      said.textContent = mine.signal.aborted ? 'Nothing was measured.' : error instanceof Error ? error.message : ''
      return undefined
    } finally {
      if (running === mine) {
        bar.hidden = true
        buttons.replaceChildren()
      }
    }
  }
}
