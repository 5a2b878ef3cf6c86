import { statusLine } from './element.ts'

/**
 * A GET form that shows its new answers in place: on each change the page is fetched as its button would, and the
 * region named by `data-swap` is taken from it. The form stands outside the region, so the focus stays where it was.
 * Whatever goes wrong, the form is sent the plain way.
 */
export function startSwap(form: HTMLFormElement, enhance: (root: ParentNode) => void): void {
  const regionId = form.dataset.swap ?? ''
  let running: AbortController | undefined
  form.querySelector<HTMLElement>('button[type="submit"]')?.setAttribute('hidden', '')
  const status = statusLine('visually-hidden')
  form.append(status)
  form.addEventListener('input', (event) => {
    if (event.target instanceof HTMLInputElement) showMoney(event.target)
  })
  form.addEventListener('change', async () => {
    running?.abort()
    running = new AbortController()
    const { signal } = running
    const address = addressOf(form)
    try {
      enhance(await swapRegion(regionId, address, signal))
      history.replaceState(history.state, '', address)
      status.textContent = 'Updated.'
    } catch {
      if (!signal.aborted) location.assign(address)
    }
  })
}

/** Where the form's own button would lead. */
function addressOf(form: HTMLFormElement): URL {
  const address = new URL(form.action)
  const fields = [...new FormData(form)].filter((pair): pair is [string, string] => typeof pair[1] === 'string')
  address.search = new URLSearchParams(fields).toString()
  return address
}

async function swapRegion(id: string, address: URL, signal: AbortSignal): Promise<Element> {
  document.getElementById(id)?.setAttribute('aria-busy', 'true')
  const answer = await fetch(address, { headers: { accept: 'text/html' }, signal })
  if (!answer.ok) throw new Error(`answered ${answer.status}`)
  const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
  const fresh = page.getElementById(id)
  const stale = document.getElementById(id)
  if (signal.aborted || fresh === null || stale === null) throw new Error('no such region')
  stale.replaceWith(fresh)
  return fresh
}

/** A slider of money says its sum while it moves, in the form that the server writes it. */
function showMoney(input: HTMLInputElement): void {
  const { money, locale, digits } = input.dataset
  const output = input.form?.querySelector(`output[for="${CSS.escape(input.id)}"]`)
  if (!money || !output) return
  const fraction = Number(digits ?? 2)
  const form = { minimumFractionDigits: fraction, maximumFractionDigits: fraction }
  output.textContent = new Intl.NumberFormat(locale, { style: 'currency', currency: money, ...form }).format(
    Number(input.value),
  )
}
