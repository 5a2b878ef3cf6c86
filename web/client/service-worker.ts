import { keepForms, keptPage, memberKept } from './offline/forms.ts'
import { keptAssets, keptForms } from './offline/kept-names.ts'
import { offlinePage } from './offline/offline-page.ts'
import { sendAll } from './offline/sending.ts'

/*
 * What a phone does without the network: the report form opens as it was kept, and what was pressed is sent when the network is
 * back. Nothing else is answered from here, and nothing else is kept.
 */

/** What the page's types don't know of the worker's own world, as far as it is used here. */
interface Lasting extends Event {
  waitUntil(done: Promise<unknown>): void
}
interface Asked extends Lasting {
  readonly request: Request
  respondWith(answer: Promise<Response>): void
}
interface WorkerEvents {
  install: Lasting
  activate: Lasting
  fetch: Asked
  message: Lasting & { readonly data: unknown }
  sync: Lasting
}
interface Worker {
  addEventListener<Name extends keyof WorkerEvents>(name: Name, hear: (event: WorkerEvents[Name]) => void): void
  skipWaiting(): Promise<void>
  readonly clients: { claim(): Promise<void> }
}

/** Addresses of the bundles of this build, written in by web/build.ts. */
declare const BUNDLES: { css: string; js: string; fonts: string[] }

const worker = self as unknown as Worker
const bundles = [BUNDLES.css, BUNDLES.js, ...BUNDLES.fonts]

worker.addEventListener('install', (event) => {
  event.waitUntil(caches.open(keptAssets).then((cache) => cache.addAll(bundles)))
  void worker.skipWaiting()
})

worker.addEventListener('activate', (event) => event.waitUntil(worker.clients.claim()))

worker.addEventListener('message', (event) => {
  const { kind, memberId } = event.data as { kind?: unknown; memberId?: unknown }
  if (kind === 'keep' && typeof memberId === 'string') event.waitUntil(keepForms(memberId, bundles))
})

worker.addEventListener('sync', (event) =>
  event.waitUntil(
    sendAll().then((stopped) => {
      // The browser tries again later, by itself.
      if (stopped === 'no network' || stopped === 'not now') throw new Error(stopped)
    }),
  ),
)

worker.addEventListener('fetch', (event) => {
  const { request } = event
  const { origin, pathname } = new URL(request.url)
  if (origin !== location.origin) return
  if (pathname === '/sign-out') event.waitUntil(forgetForms())
  if (request.method === 'GET' && pathname.startsWith('/assets/')) event.respondWith(asset(request))
  else if (request.mode === 'navigate') event.respondWith(fetch(request).catch(() => withoutNetwork(request)))
})

/** Bundles are named after their content, so a kept one is as good as a fetched one. */
async function asset(request: Request): Promise<Response> {
  return (await caches.match(request, { cacheName: keptAssets })) ?? fetch(request)
}

async function withoutNetwork({ url, method }: Request): Promise<Response> {
  const kept = method === 'GET' ? await keptPage(new URL(url)) : undefined
  return kept ?? offlinePage({ ...BUNDLES, memberId: await memberKept(), isForm: method !== 'GET' })
}

async function forgetForms(): Promise<void> {
  const forms = (await caches.keys()).filter((name) => name.startsWith(keptForms))
  await Promise.all(forms.map((name) => caches.delete(name)))
}
