import { element } from '../element.ts'
import { swapMain } from '../swap-main.ts'
import { memberHere, newKey } from './here.ts'
import { forget, keep, keepQuietly, tellOthers, type Waiting } from './queue.ts'
import { arrived, type Outcome, send } from './sending.ts'
import { showKept } from './waiting-list.ts'

/**
 * A form that is kept on this machine from the moment it is pressed until the service is known to have it. What it is about
 * stands in `data-keeps`. Where the browser keeps nothing it is sent the plain way.
 */
export function startReportForm(form: HTMLFormElement, enhance: (root: ParentNode) => void): void {
  const memberId = memberHere()
  if (!memberId) return
  let isUnderWay = false
  form.addEventListener('submit', async (event) => {
    if (event.defaultPrevented) return
    event.preventDefault()
    if (isUnderWay) return
    isUnderWay = true
    form.setAttribute('data-sent', '')
    const button = event.submitter instanceof HTMLButtonElement ? event.submitter : null
    const elsewhere = button?.getAttribute('formaction')
    await (elsewhere ? askMore(form, button, elsewhere, enhance) : press(form, memberId, enhance)).catch(() =>
      sendPlainly(form, elsewhere),
    )
    isUnderWay = false
    form.removeAttribute('data-sent')
  })
}

async function press(form: HTMLFormElement, memberId: string, enhance: (root: ParentNode) => void): Promise<void> {
  const waiting = waitingFrom(form, memberId)
  await keepQuietly(waiting)
  await act(waiting, await send(waiting), form.dataset.mends !== undefined, enhance)
}

/** @param wasWaiting it stood in the list before, and does so until it has arrived */
async function act(waiting: Waiting, outcome: Outcome, wasWaiting: boolean, enhance: (root: ParentNode) => void) {
  if (outcome.kind === 'arrived') {
    await arrived(waiting, outcome.path)
    location.assign(outcome.path)
  } else if (outcome.kind === 'refused') {
    if (wasWaiting) await keep({ ...waiting, isRefused: true })
    else await forget(waiting.id)
    const form = swapMain(outcome.html, enhance)?.querySelector<HTMLFormElement>('form[data-keeps]')
    if (form && wasWaiting) form.dataset.mends = waiting.id
  } else {
    tellOthers()
    await showKept(outcome.kind)
  }
}

/** Shows the form of what the service refused, with what was typed and what is to be mended. @returns whether it could */
export async function mend(waiting: Waiting, enhance: (root: ParentNode) => void): Promise<boolean> {
  const outcome = await send(waiting)
  const isAnswered = outcome.kind === 'arrived' || outcome.kind === 'refused'
  if (isAnswered) await act(waiting, outcome, true, enhance)
  return isAnswered
}

/** A smaller button of the form: a further file, or what is looked up. It changes nothing, so it is not kept. */
async function askMore(
  form: HTMLFormElement,
  button: HTMLButtonElement | null,
  action: string,
  enhance: (root: ParentNode) => void,
) {
  const fields = fieldsOf(form)
  if (button?.name) fields.push([button.name, button.value])
  const body = form.enctype === 'multipart/form-data' ? new FormData() : new URLSearchParams()
  for (const [name, value] of fields) body.append(name, value as string)
  const answer = await fetch(action, { method: 'POST', body, headers: { accept: 'text/html' } }).catch(() => null)
  if (answer === null) {
    sayBeside(button, 'This needs the network, and there is none just now. What you typed stays.')
    return
  }
  const { mends } = form.dataset
  const fresh = swapMain(await answer.text(), enhance)?.querySelector<HTMLFormElement>('form[data-keeps]')
  if (fresh && mends) fresh.dataset.mends = mends
}

function sayBeside(button: HTMLButtonElement | null, words: string): void {
  const said = element('p', { class: 'field-error', role: 'status' }, words)
  button?.parentElement?.querySelector('.field-error')?.remove()
  button?.after(said)
}

function sendPlainly(form: HTMLFormElement, elsewhere: string | null | undefined): void {
  if (elsewhere) form.action = elsewhere
  HTMLFormElement.prototype.submit.call(form)
}

function waitingFrom(form: HTMLFormElement, memberId: string): Waiting {
  const fields = fieldsOf(form)
  const value = (end: string) => fields.find(([name]) => name.endsWith(end))?.[1]
  const [tried, good] = [value('.tried'), value('.good')]
  return {
    id: form.dataset.mends ?? String(value('once') ?? newKey()),
    memberId,
    action: form.getAttribute('action') ?? '',
    multipart: form.enctype === 'multipart/form-data',
    fields,
    words: [form.dataset.keeps, tried && good && `${good} of ${tried} good`].filter(Boolean).join(', '),
    at: Date.now(),
  }
}

/** As the browser would send them, without file fields in which nothing was chosen. */
const fieldsOf = (form: HTMLFormElement): [string, string | File][] =>
  [...new FormData(form)].filter(([, value]) => typeof value === 'string' || value.size > 0)
