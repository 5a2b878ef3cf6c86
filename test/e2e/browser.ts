import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { demoPassword } from '../../web/parts/demo-accounts.ts'
import { chromiumAt } from './chromium.ts'

const quiet = [
  '--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking',
  '--disable-component-update --disable-sync',
  // The first costs a fifth of each page; given once, the list stands for the library's own, so those of it that count are here.
  '--disable-features=RenderDocument,PaintHolding,HttpsUpgrades,MediaRouter,OptimizationHints,NetworkTimeServiceQuerying',
].join(' ')

export const phone = { width: 390, height: 844 }
export const desk = { width: 1280, height: 900 }

const way = (viewport: typeof desk, scripts: boolean) => ({
  how: `${viewport.width} px, ${scripts ? 'with' : 'without'} scripts`,
  options: { viewport, javaScriptEnabled: scripts } satisfies BrowserContextOptions,
  scripts,
})
/** How a main task is tried, with scripts and without. Half of them are tried in one pair of ways and half in the other. */
export const scriptsOnPhone = [way(phone, true), way(desk, false)]
export const scriptsAtDesk = [way(desk, true), way(phone, false)]
export const onPhone = [way(phone, true), way(phone, false)]

let opened: Promise<Browser> | undefined

/** Finds no other host. Requests are watched, not held up one by one, which would also do without the browser's cache. */
const nobodyElse = '--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1'

/** One for all files of a process, with which it ends; each test has windows of its own. */
export function openBrowser(): Promise<Browser> {
  opened ??= chromium.launch({ executablePath: chromiumAt() ?? '', args: [...quiet.split(' '), nobodyElse] })
  return opened
}

/** A browser window of its own, and what went wrong in it: broken scripts, and whatever the policy refused. */
export interface Visit {
  page: Page
  complaints: string[]
}

/** Opens a window that talks to this server and to nobody else. */
export async function visit(browser: Browser, baseURL: string, options: BrowserContextOptions = {}): Promise<Visit> {
  // Without motion: what is measured is how a page stands, not a colour on its way.
  const still = { viewport: desk, locale: 'en-GB', reducedMotion: 'reduce' } as const
  const context = await browser.newContext({ baseURL, ...still, ...options })
  const complaints: string[] = []
  context.on('request', (request) => {
    const url = request.url()
    if (/^(https?|wss?):/.test(url) && new URL(url).origin !== baseURL) complaints.push(`asked for ${url}`)
  })
  const page = await context.newPage()
  // The test's own limit is the only one.
  page.setDefaultTimeout(0)
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('console', (message) => {
    // A page that refuses something answers 4xx on purpose; the browser writes that down, too.
    if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) complaints.push(message.text())
  })
  return { page, complaints }
}

/** Signs a member of the demo group in without the form, which has a test of its own. @param who before `@demo.example` */
export async function signInAs(page: Page, baseURL: string, who: string): Promise<void> {
  const answer = await page.context().request.post('/api/v1/sessions', {
    data: { email: `${who}@demo.example`, password: demoPassword },
    headers: { origin: baseURL },
  })
  if (answer.status() !== 201) throw new Error(`signing in as ${who} answered ${answer.status()}`)
}
