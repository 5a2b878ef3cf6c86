import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openBrowser, signInAs, type Visit, visit } from './browser.ts'
import { faultsOf, type Seen, seenOn } from './look.ts'
import { getRoutes, noPages, samples } from './places.ts'
import { serveDemo } from './serve.ts'

let served: Awaited<ReturnType<typeof serveDemo>>
let browser: Browser
let addresses: Record<string, string[]>
/** The first sample of each page's route. */
let firsts: Set<string | undefined>

beforeAll(async () => {
  served = await serveDemo()
  browser = await openBrowser()
  const { page } = await visit(browser, served.url)
  addresses = await samples(served.db, await handedOut(page))
  firsts = new Set(Object.values(addresses).map(([first]) => first))
  await page.context().close()
})
afterAll(async () => {
  await served?.close()
})

/** The codes that a steward hands out: for somebody new, and for a member who forgot their password. */
async function handedOut(page: Page) {
  await signInAs(page, served.url, 'steward')
  const { id } = await served.db
    .selectFrom('member')
    .select('id')
    .where('name', '=', 'Pascoe')
    .executeTakeFirstOrThrow()
  const post = async (path: string, data: object) => {
    const answer = await page.context().request.post(`/api/v1${path}`, { data, headers: { origin: served.url } })
    return new URL((await answer.json()).url).pathname.split('/').at(-1) ?? ''
  }
  return {
    invitation: await post('/invitations', { role: 'member', expiresInDays: 7, uses: 5 }),
    wayBack: await post(`/members/${id}/way-back`, {}),
  }
}

test('every page of the service has its samples here', async () => {
  const routes = (await getRoutes()).filter((route) => !noPages.includes(route))
  expect(routes.filter((route) => !addresses[route]?.length)).toEqual([])
  expect(Object.keys(addresses).filter((route) => !routes.includes(route))).toEqual([])
})

interface Looked extends Seen {
  address: string
  status: number
  faults: string[]
}

async function lookAt({ page, complaints }: Visit, address: string): Promise<Looked> {
  const answer = await page.goto(address)
  const seen = await seenOn(page)
  const faults = [...(await faultsOf(page, !firsts.has(address))), ...complaints.splice(0)]
  return { address, status: answer?.status() ?? 0, ...seen, faults: faults.map((fault) => `${address}: ${fault}`) }
}

/** Where a page's links and forms lead and what they ask, whatever they are about. */
function controlsOf(html: string): string[] {
  const main = html.slice(html.indexOf('<main'))
  return [...main.matchAll(/ (?:href|action|name)="([^"]*)"/g)].map(([control]) =>
    control.replace(/[0-9a-f]{8}-[0-9a-f-]{27}/g, 'id').replace(/[?#].*/, ''),
  )
}

/** Which controls somebody has seen, and how an address answered somebody. */
const known = { controls: new Set<string>(), answers: new Set<string>() }

/** Looks at the addresses, or only where there is something to press that nobody has seen yet. */
async function looks(who: string | null, where: string[], isFirst = false): Promise<Looked[]> {
  const visited = await visit(browser, served.url)
  if (who) await signInAs(visited.page, served.url, who)
  const looked: Looked[] = []
  for (const address of where) {
    const answer = await visited.page.context().request.get(address)
    const controls = controlsOf(await answer.text())
    const answered = `${address} ${answer.status()}`
    const isKnown = known.answers.has(answered) && controls.every((control) => known.controls.has(control))
    if (isKnown && !isFirst) continue
    for (const control of controls) known.controls.add(control)
    known.answers.add(answered)
    looked.push(await lookAt(visited, address))
  }
  await visited.page.context().close()
  return looked
}

describe('what is wrong with a page, as a member, a steward, the owner and signed out', () => {
  let all: Looked[]
  beforeAll(async () => {
    const everywhere = Object.values(addresses).flat()
    // In two windows, since a machine that runs this has two processors or more.
    const halves = [0, 1].map((half) => everywhere.filter((_, index) => index % 2 === half))
    all = (await Promise.all(halves.map((half) => looks('asker', half, true)))).flat()
    for (const who of ['steward', 'owner', null]) all.push(...(await looks(who, everywhere)))
  })

  test('axe finds nothing in light or dark, nothing runs over the edge or is too small, nothing is refused', () => {
    expect(all.length).toBeGreaterThan(60)
    expect(all.flatMap(({ faults }) => faults)).toEqual([])
  })

  test('each has been seen by somebody who may, but for those that say no to everybody', () => {
    const refused = all.map(({ address }) => address).filter((address) => !known.answers.has(`${address} 200`))
    expect(new Set(refused)).toEqual(new Set(['/setup', '/invitations/no-such-code']))
  })

  test('each has one heading, a title of its own, and a way on', () => {
    const lacking = all.filter(({ headings, title, hasWayOn, lost }) =>
      [headings !== 1, !/^.+ · The Wednesday Shelf$/.test(title), !hasWayOn, lost.length > 0].some(Boolean),
    )
    expect(lacking.map(({ address, title, lost }) => `${address} (${title}) ${lost}`)).toEqual([])
  })

  test('where it is about resin, the caution is there', () => {
    const about = /^\/(resins(\/|$)|reports\/(new\?fileId|\w+-)|printers\/\w+-[\w-]+$|files\/\w+-[\w-]+$)/
    const careless = all.filter(({ address, caution, status }) => status === 200 && about.test(address) && !caution)
    expect(careless.map(({ address }) => address)).toEqual([])
  })

  test('no link leads nowhere', async () => {
    const { page } = await visit(browser, served.url)
    await signInAs(page, served.url, 'owner')
    const shape = (path: string) => path.replace(/[0-9a-f]{8}-[0-9a-f-]{27}/g, 'id').replace(/=[^&]*/g, '=')
    const links = new Map(all.flatMap((one) => one.links).map((path) => [shape(path), path]))
    const dead: string[] = []
    for (const path of links.values()) {
      const answer = await page.context().request.get(path)
      // A link may have come from somebody else's page; the owner is refused what is another member's alone.
      if (![200, 403].includes(answer.status())) dead.push(`${path} ${answer.status()}`)
    }
    expect(links.size).toBeGreaterThan(30)
    expect(dead).toEqual([])
  })
})
