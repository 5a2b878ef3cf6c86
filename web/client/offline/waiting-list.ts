import { button, element } from '../element.ts'
import { memberHere } from './here.ts'
import { forget, keep, listen, type Waiting, waitingOf } from './queue.ts'
import { isUnsure, type Stopped, sendAll } from './sending.ts'

/** While something waits and its page is looked at, it is tried again after so long, then ever less often. */
const againMs = { first: 3_000, last: 60_000 }

let stopped: Stopped

/** Opens what the service refused. @returns whether that could be done */
type Mend = (waiting: Waiting) => Promise<boolean>
let mend: Mend = async () => false

/** Shows what waits wherever a page has room for it, and sends it as soon as that can be done. */
export function startWaiting(mendIt: Mend): void {
  mend = mendIt
  const memberId = memberHere()
  if (!memberId || !('indexedDB' in globalThis)) return
  listen((news) => {
    if (news.kind === 'arrived' && news.memberId === memberId) sayArrived(news.words, news.path)
    void showAll(memberId)
  })
  let pause = againMs.first
  const trySending = async () => {
    if ((await waitingOf(memberId)).length === 0) return
    stopped = await sendAll()
    await showAll(memberId)
  }
  const again = () =>
    setTimeout(async () => {
      if (document.visibilityState === 'visible') await trySending()
      pause = Math.min(2 * pause, againMs.last)
      again()
    }, pause)
  const atOnce = () => {
    pause = againMs.first
    void trySending()
  }
  addEventListener('online', atOnce)
  document.addEventListener('visibilitychange', () => void (document.visibilityState === 'visible' && atOnce()))
  // A browser that keeps nothing has nothing to send.
  void showAll(memberId)
    .then(trySending)
    .then(again, () => {})
}

async function showAll(memberId: string): Promise<void> {
  const all = await waitingOf(memberId)
  for (const region of document.querySelectorAll<HTMLElement>('[data-waiting]')) show(region, all)
  sayAtSignOut(all.length)
}

/** After a report could not be sent: says that it is kept, and what else waits. */
export async function showKept(why: Stopped): Promise<void> {
  stopped = why
  const [main, memberId] = [document.getElementById('main'), memberHere()]
  if (!main || !memberId) return
  const heading = element('h1', {}, 'Kept on this phone')
  const region = element('div', { 'data-waiting': '' })
  main.replaceChildren(heading, region, buttonLink('/reports/new', 'Report another print'))
  document.title = 'Kept on this phone'
  askForLater()
  await showAll(memberId)
  scrollTo(0, 0)
  main.focus()
}

/** Where browsers can, they send it even after the window is closed. @see Web Background Synchronization, of the Web Incubator Community Group */
function askForLater(): void {
  type Syncing = ServiceWorkerRegistration & { sync?: { register(tag: string): Promise<void> } }
  void navigator.serviceWorker?.ready.then((worker: Syncing) => worker.sync?.register('reports')).catch(() => {})
}

function show(region: HTMLElement, all: Waiting[]): void {
  const before = region.querySelector('.arrived')
  region.replaceChildren()
  if (before) region.append(before)
  if (all.length === 0) return
  const heading = element('h2', { 'aria-live': 'polite' }, headingWords(all))
  const list = element('ul', {}, ...all.map(line))
  region.append(element('section', { class: 'waiting' }, heading, list, ...nextStep()))
}

function headingWords(all: Waiting[]): string {
  const waits = all.filter((one) => !one.isRefused).length
  if (waits === 0) return all.length === 1 ? '1 report needs correcting' : `${all.length} reports need correcting`
  const what = waits === 1 ? '1 report waits' : `${waits} reports wait`
  return `${what} ${stopped === 'signed out' ? 'until you sign in again' : 'for the network'}`
}

function nextStep(): HTMLElement[] {
  if (stopped === 'signed out')
    return [buttonLink(`/sign-in?next=${encodeURIComponent('/reports/new')}`, 'Sign in to send it')]
  return []
}

function line(waiting: Waiting): HTMLElement {
  const day = new Date(waiting.at).toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' })
  const pictures = waiting.fields.filter(([, value]) => typeof value !== 'string').length
  const withPictures = pictures === 0 ? '' : pictures === 1 ? ', with a picture' : `, with ${pictures} pictures`
  const item = element('li', {}, element('strong', {}, waiting.words), ` ${day}${withPictures}. `)
  if (waiting.isRefused) {
    item.append('The service did not accept it as it is. ')
    item.append(
      button('Correct it', async (pressed) => {
        if (!(await mend(waiting))) pressed.textContent = 'Correct it once the network is back'
      }),
    )
  } else if (isUnsure(waiting)) {
    item.append('It was sent a while ago and may have arrived: look at your latest prints. ')
    item.append(
      button('Send it again', async () => {
        const { triedAt: _tried, ...fresh } = waiting
        await keep(fresh)
        stopped = await sendAll()
      }),
    )
  }
  item.append(throwAway(waiting))
  return item
}

/** Two presses, since there is no way back. */
function throwAway({ id, words }: Waiting): HTMLElement {
  let isSure = false
  const press = async (pressed: HTMLButtonElement) => {
    if (isSure) return forget(id)
    isSure = true
    pressed.textContent = 'Throw it away for good'
  }
  return button('Throw it away', press, { 'aria-label': `Throw it away: ${words}` })
}

function sayArrived(words: string, path: string): void {
  const [address] = path.split('?')
  for (const region of document.querySelectorAll<HTMLElement>('[data-waiting]')) {
    const link = element('a', { href: address ?? path }, 'See what it says')
    region.querySelector('.arrived')?.remove()
    region.prepend(element('p', { class: 'arrived notice', role: 'status' }, `It has arrived: ${words}. `, link))
  }
}

/** Whoever signs out is told what stays behind. */
function sayAtSignOut(count: number): void {
  const form = document.querySelector<HTMLElement>('form.sign-out')
  if (!form) return
  form.querySelector('.hint')?.remove()
  if (count === 0) return
  const what = count === 1 ? '1 report waits on this phone and is' : `${count} reports wait on this phone and are`
  form.prepend(
    element('p', { class: 'hint' }, `${what} kept until you sign in here again. Nobody else sees or sends it.`),
  )
}

const buttonLink = (href: string, words: string) => element('a', { href, class: 'button button-main' }, words)
