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
  const heading = element('h1', '', 'Kept on this phone')
  const region = element('div')
  region.dataset.waiting = ''
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
  const box = element('section', 'waiting')
  const heading = element('h2', '', headingWords(all))
  heading.setAttribute('aria-live', 'polite')
  const list = element('ul')
  list.append(...all.map(line))
  box.append(heading, list, ...nextStep())
  region.append(box)
}

function headingWords(all: Waiting[]): string {
  const waits = all.filter((one) => !one.isRefused).length
  if (waits === 0) return all.length === 1 ? '1 report needs mending' : `${all.length} reports need mending`
  const what = waits === 1 ? '1 report waits' : `${waits} reports wait`
  return `${what} ${stopped === 'signed out' ? 'until you sign in again' : 'for the network'}`
}

function nextStep(): HTMLElement[] {
  if (stopped === 'signed out')
    return [buttonLink(`/sign-in?next=${encodeURIComponent('/reports/new')}`, 'Sign in, and it is sent')]
  return []
}

function line(waiting: Waiting): HTMLElement {
  const item = element('li')
  const day = new Date(waiting.at).toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' })
  const pictures = waiting.fields.filter(([, value]) => typeof value !== 'string').length
  const withPictures = pictures === 0 ? '' : pictures === 1 ? ', with a picture' : `, with ${pictures} pictures`
  item.append(element('strong', '', waiting.words), ` ${day}${withPictures}. `)
  if (waiting.isRefused) {
    item.append('The service did not take it as it is. ')
    item.append(
      button('Mend it', async (pressed) => {
        if (!(await mend(waiting))) pressed.textContent = 'Mend it once the network is back'
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
  const thrown = button('Throw it away', async (pressed) => {
    if (isSure) return forget(id)
    isSure = true
    pressed.textContent = 'Throw it away for good'
  })
  thrown.setAttribute('aria-label', `Throw it away: ${words}`)
  return thrown
}

function sayArrived(words: string, path: string): void {
  const [address] = path.split('?')
  for (const region of document.querySelectorAll<HTMLElement>('[data-waiting]')) {
    const said = element('p', 'arrived notice', `It has arrived: ${words}. `)
    said.setAttribute('role', 'status')
    const link = document.createElement('a')
    link.href = address ?? path
    link.textContent = 'See what it says'
    said.append(link)
    region.querySelector('.arrived')?.remove()
    region.prepend(said)
  }
}

/** Whoever signs out is told what stays behind. */
function sayAtSignOut(count: number): void {
  const form = document.querySelector<HTMLElement>('form.sign-out')
  if (!form) return
  form.querySelector('.hint')?.remove()
  if (count === 0) return
  const what = count === 1 ? '1 report waits on this phone and is' : `${count} reports wait on this phone and are`
  form.prepend(element('p', 'hint', `${what} kept until you sign in here again. Nobody else sees or sends it.`))
}

function element(name: string, className = '', words = ''): HTMLElement {
  const made = document.createElement(name)
  if (className) made.className = className
  made.textContent = words
  return made
}

function button(words: string, press: (pressed: HTMLButtonElement) => Promise<void>): HTMLButtonElement {
  const made = document.createElement('button')
  made.type = 'button'
  made.className = 'button'
  made.textContent = words
  made.addEventListener('click', () => void press(made))
  return made
}

function buttonLink(href: string, words: string): HTMLElement {
  const link = document.createElement('a')
  link.href = href
  link.className = 'button button-main'
  link.textContent = words
  return link
}
