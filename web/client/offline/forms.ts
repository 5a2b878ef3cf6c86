import { formsOf, keptAssets, keptForms, keptMark } from './kept-names.ts'

const choose = '/reports/new'

/** So long a kept form is good enough while there is a network, in milliseconds. */
const freshForMs = 3_600_000

/** Headers that go with a page wherever it comes from; the rest is about the way that it came. */
const itsHeaders = [
  'content-type',
  'content-security-policy',
  'permissions-policy',
  'referrer-policy',
  'x-content-type-options',
]

/**
 * Keeps the member's report form: the page on which they choose a file, and the form of each file offered there. Bundles of
 * earlier builds, which only earlier pages asked for, go.
 *
 * @param bundles addresses of this build's
 */
export async function keepForms(memberId: string, bundles: readonly string[]): Promise<void> {
  const build = bundles.join(' ')
  if (await isFresh(memberId, build)) return
  const start = await pageFor(memberId, choose)
  if (!start) return
  const links = start.html.matchAll(/href="(\/reports\/new\?fileId=[0-9a-f-]{36})"/g)
  const addresses = [...new Set([...links].map(([, address = '']) => address))]
  const pages = await Promise.all(addresses.map((address) => pageFor(memberId, address)))
  const cache = await emptied(formsOf(memberId))
  for (const page of [start, ...pages]) if (page) await cache.put(page.address, asKept(page))
  await cache.put(keptMark, new Response(JSON.stringify({ at: Date.now(), build })))
  await forgetBundlesBut(bundles)
}

async function isFresh(memberId: string, build: string): Promise<boolean> {
  const mark = await caches.match(keptMark, { cacheName: formsOf(memberId) })
  if (!mark) return false
  const { at, build: of } = (await mark.json()) as { at: number; build: string }
  return of === build && Date.now() - at < freshForMs
}

interface Page {
  address: string
  html: string
  headers: Headers
}

/** A page as this member sees it; null when somebody else is signed in by now, or nobody. */
async function pageFor(memberId: string, address: string): Promise<Page | null> {
  const answer = await fetch(address, { headers: { accept: 'text/html' } }).catch(() => null)
  if (!answer?.ok || answer.redirected) return null
  const html = await answer.text()
  return html.includes(`data-member="${memberId}"`) ? { address, html, headers: answer.headers } : null
}

/** The page says of itself that it was kept, and when. */
function asKept({ html, headers }: Page): Response {
  const own = itsHeaders.flatMap((name): [string, string][] => {
    const value = headers.get(name)
    return value === null ? [] : [[name, value]]
  })
  return new Response(html.replace('<html ', `<html data-kept="${new Date().toISOString()}" `), { headers: own })
}

async function emptied(name: string): Promise<Cache> {
  await caches.delete(name)
  return caches.open(name)
}

async function forgetBundlesBut(bundles: readonly string[]): Promise<void> {
  const cache = await caches.open(keptAssets)
  const old = (await cache.keys()).filter(({ url }) => !bundles.includes(new URL(url).pathname))
  await Promise.all(old.map((request) => cache.delete(request)))
}

const formsKept = async () => (await caches.keys()).find((name) => name.startsWith(keptForms))

/** Whose form is kept here, if anybody's. */
export const memberKept = async () => (await formsKept())?.slice(keptForms.length)

/** The form of that file, or else the page on which a file is chosen; undefined where none is kept, or another page is asked for. */
export async function keptPage({ pathname, searchParams }: URL): Promise<Response | undefined> {
  const cacheName = await formsKept()
  if (pathname !== choose || !cacheName) return undefined
  const file = searchParams.get('fileId')
  const form = file === null ? undefined : await caches.match(`${choose}?fileId=${file}`, { cacheName })
  return form ?? caches.match(choose, { cacheName })
}
