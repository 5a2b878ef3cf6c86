import { expect } from 'vitest'
import type { Person } from '../support/app.ts'
import { leak } from './calls.ts'
import { type Element, elementsOf, faultsOf } from './html.ts'

/** A page as somebody got it. */
export interface Visited {
  url: string
  status: number
  body: string
  /** The page that led there. */
  from: string
}

/** An address without what tells one thing from another of its kind. */
const kindOf = (url: string) => {
  const [path = '', query = ''] = url.split('?')
  const keys = [...new URLSearchParams(query).keys()].sort()
  return `${path.replace(/[0-9a-f]{8}-[0-9a-f-]{27}/g, ':id')}?${keys.join('&')}`
}

/** Where a page leads: links, and forms that only look something up, sent as they stand. */
function addressesIn(elements: Element[], here: string): string[] {
  const links = elements.flatMap(({ name, attributes }) => (name === 'a' && attributes.href ? [attributes.href] : []))
  const forms = elements.flatMap(({ name, attributes }) =>
    name === 'form' && attributes.method !== 'post' && attributes.action ? [attributes.action] : [],
  )
  const base = new URL(here, 'http://understudy.example')
  return [...links, ...forms].flatMap((href) => {
    const url = new URL(href, base)
    return url.origin === base.origin ? [`${url.pathname}${url.search}${url.hash}`] : []
  })
}

/**
 * Follows every link from the first page on, kind by kind, so that none is starved by the many of another.
 *
 * @param most how many pages at most
 */
export async function crawl(person: Person, starts: string[], most: number): Promise<Visited[]> {
  const waiting = new Map<string, { url: string; from: string }[]>()
  const seen = new Set<string>()
  const visited: Visited[] = []
  const anchors: { url: string; hash: string; from: string }[] = []
  const queue = (address: string, from: string) => {
    const [url = '', hash] = address.split('#')
    if (hash) anchors.push({ url, hash, from })
    if (seen.has(url) || url.startsWith('/assets/')) return
    seen.add(url)
    const kind = kindOf(url)
    waiting.set(kind, [...(waiting.get(kind) ?? []), { url, from }])
  }
  for (const start of starts) queue(start, 'the start')
  const idsAt = new Map<string, Set<string>>()
  while (visited.length < most && waiting.size > 0) {
    for (const [kind, [next, ...rest]] of [...waiting]) {
      if (rest.length > 0) waiting.set(kind, rest)
      else waiting.delete(kind)
      if (!next || visited.length >= most) continue
      const { statusCode: status, body, headers } = await person.page(next.url)
      visited.push({ ...next, status, body })
      if (status === 303) queue(String(headers.location), next.url)
      if (!String(headers['content-type']).startsWith('text/html')) continue
      const elements = elementsOf(body)
      idsAt.set(next.url, new Set(elements.flatMap(({ attributes }) => attributes.id ?? [])))
      for (const address of addressesIn(elements, next.url)) queue(address, next.url)
    }
  }
  const lost = anchors.filter(({ url, hash }) => idsAt.get(url) && !idsAt.get(url)?.has(decodeURIComponent(hash)))
  expect([...new Set(lost.map(({ url, hash, from }) => `${kindOf(from)} -> ${kindOf(url)}#${hash}`))]).toEqual([])
  return visited
}

/** What is wrong with the pages: answers that are none, bones out of joint, forms that lead nowhere. */
export function troubles(visited: Visited[], routes: string[]): string[] {
  const found = visited.flatMap(({ url, from, status, body }) => {
    const where = kindOf(url)
    if (![200, 303].includes(status)) return [`${where} answers ${status}, linked from ${kindOf(from)}`]
    if (status === 303 || !body.startsWith('<!doctype html>')) return []
    const elements = elementsOf(body)
    const nowhere = elements
      .filter(({ name, attributes }) => name === 'form' && !isRoute(routes, attributes))
      .map(({ attributes }) => `a form to ${attributes.method} ${attributes.action}`)
    const leaked = leak({ body } as Parameters<typeof leak>[0])
    const title = /<title>[^<]+<\/title>/.test(body) ? [] : ['no title']
    return [...faultsOf(elements), ...nowhere, ...title, ...(leaked ? [`“${leaked}”`] : [])].map(
      (one) => `${where}: ${one}`,
    )
  })
  return [...new Set(found)]
}

function isRoute(routes: string[], { action = '', method = 'get' }: Record<string, string>): boolean {
  const path = action.split(/[?#]/)[0]
  const asked = `${method.toUpperCase()} ${path}`
  return routes.some((route) => new RegExp(`^${route.replace(/:\w+/g, '[^/]+').replace('*', '.*')}$`).test(asked))
}
