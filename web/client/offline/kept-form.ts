import { element } from '../element.ts'
import { localDay, memberHere, newKey } from './here.ts'
import { formsOf, keptForms } from './kept-names.ts'

/**
 * Has the worker keep the report form for the member who is signed in, on the pages that lead to it; takes away what was kept
 * for anybody else. Without a secure context (TLS, or this very machine) there is no worker, and nothing is kept.
 */
export async function startKeptForm(): Promise<void> {
  if (document.documentElement.dataset.kept !== undefined) return freshen()
  const memberId = memberHere()
  await forgetOthers(memberId)
  if (!memberId || !navigator.serviceWorker) return
  const { active } = await navigator.serviceWorker
    .register('/service-worker.js')
    .then(() => navigator.serviceWorker.ready)
  if (document.querySelector('[data-waiting]')) active?.postMessage({ kind: 'keep', memberId })
}

/** On any page of another member's, or of nobody's. */
async function forgetOthers(memberId: string | undefined): Promise<void> {
  if (!('caches' in globalThis)) return
  const others = (await caches.keys()).filter((name) => name.startsWith(keptForms) && name !== formsOf(memberId ?? ''))
  await Promise.all(others.map((name) => caches.delete(name)))
}

/** A page that was kept, perhaps days ago: each use of it is a report of its own, of today. */
function freshen(): void {
  const today = localDay(new Date())
  for (const form of document.querySelectorAll<HTMLFormElement>('form[data-keeps]')) {
    const once = form.querySelector<HTMLInputElement>('input[name="once"]')
    if (once) once.value = newKey()
    const day = form.querySelector<HTMLInputElement>('input[name="printedOn"]')
    if (!day) continue
    day.max = today
    day.value = today
    for (const said of form.querySelectorAll<HTMLElement>('[data-printed-on]')) said.textContent = 'today'
  }
  const kept = new Date(document.documentElement.dataset.kept ?? '')
  const at = kept.toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' })
  const words = `No network: this page was saved on ${at}. A report that you send waits on this phone until the network is back.`
  document.getElementById('main')?.prepend(element('p', { class: 'notice', role: 'status' }, words))
}
