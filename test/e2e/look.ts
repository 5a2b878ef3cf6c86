import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { desk } from './browser.ts'

interface Axe {
  run(
    where: object,
    options: object,
  ): Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }>
}

// The same axe that @axe-core/playwright brings; run in the page itself it takes a fifth of the time, and no page of
// ours has frames, which are what the builder is for.
const bringer = createRequire(createRequire(import.meta.url).resolve('@axe-core/playwright'))
const source = readFileSync(bringer.resolve('axe-core/axe.min.js'), 'utf8')

/** Every default rule, and the size of what is pressed (WCAG 2.2, 2.5.8), which axe leaves out unless asked. */
const everything = { resultTypes: ['violations'], rules: { 'target-size': { enabled: true } } }

/** The rules about what a style sheet makes of a page; by all others it is the same at each width and in each light. */
const drawn = {
  resultTypes: ['violations'],
  runOnly: ['color-contrast', 'link-in-text-block', 'scrollable-region-focusable', 'target-size'],
}

/** So many folds are opened, and the rest taken away; the documentation of the API has a hundred of one kind. */
const folds = 12

/** The smallest phones in use. */
const narrow = { width: 360, height: 740 }

/** A small phone and a desk, light and dark; crosswise, so that two looks at two pages of a kind are all four. */
const crosswise = [
  [narrow, 'light', desk, 'dark'],
  [narrow, 'dark', desk, 'light'],
] as const

let looked = 0

/**
 * What is wrong with the page as it stands, on a small phone and at a desk, one of them in light and one in dark, with
 * its folds open; in words that name the place. Leaves it at the desk.
 *
 * @param alike whether a page of its kind was looked at in full: style sheets are asked on the phone only
 */
export async function faultsOf(page: Page, alike = false): Promise<string[]> {
  const [first, firstLight, second, secondLight] = crosswise[looked++ % 2] ?? crosswise[0]
  await page.evaluate(source)
  await page.evaluate((most) => {
    for (const [index, fold] of [...document.querySelectorAll('details')].entries()) {
      if (index < most) fold.open = true
      // Its words stay, since a heading of a table may have no others.
      else fold.replaceWith(fold.querySelector('summary')?.textContent ?? '')
    }
  }, folds)
  const onPhone = await faultsAt(page, first, firstLight, everything)
  const inTheHand = await page.evaluate(handFaults)
  await page.setViewportSize(second)
  const atTheDesk = alike ? [] : await faultsAt(page, second, secondLight, drawn)
  return [...onPhone, ...inTheHand, ...atTheDesk, ...(await page.evaluate(sideFaults))]
}

async function faultsAt(page: Page, viewport: typeof desk, colorScheme: 'light' | 'dark', options: object) {
  await page.setViewportSize(viewport)
  await page.emulateMedia({ colorScheme })
  const faults = await page.evaluate(runAxe, options)
  return faults.map((fault) => `${viewport.width} px, ${colorScheme}: ${fault}`)
}

async function runAxe(options: object): Promise<string[]> {
  const { axe } = window as unknown as { axe: Axe }
  const { violations } = await axe.run(document, options)
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html, failureSummary }) => `${id}: ${html.slice(0, 200)} ${failureSummary.split('\n')[1] ?? ''}`),
  )
}

/** On a phone in the hand: whatever runs over the edge, controls too small for a finger, figures of another kind than the rest. */
function handFaults(): string[] {
  const found: string[] = []
  const over = document.documentElement.scrollWidth - window.innerWidth
  if (over > 0) {
    const wide = [...document.querySelectorAll('body *')].filter(
      (one) => one.getBoundingClientRect().right > window.innerWidth + 0.5 && !one.closest('.scroll'),
    )
    found.push(`runs ${over} px over the edge: ${wide.at(-1)?.outerHTML.slice(0, 200)}`)
  }
  const controls =
    'button, .button, summary, select, textarea, .choice, input:not([type=radio], [type=checkbox], [type=hidden])'
  for (const control of document.querySelectorAll(controls)) {
    const { height, width } = control.getBoundingClientRect()
    // 44 px: WCAG 2.2, 2.5.5
    if (width > 0 && (height < 43.5 || width < 43.5))
      found.push(`${width} x ${height} px: ${control.outerHTML.slice(0, 200)}`)
  }
  for (const link of document.querySelectorAll('a[href]:not(.skip-link)')) {
    const { height, width } = link.getBoundingClientRect()
    // 24 px: WCAG 2.2, 2.5.8, which lets links in sentences off; here they are as high as all others.
    if (width > 0 && height < 23.5) found.push(`${height} px high: ${link.outerHTML.slice(0, 200)}`)
  }
  for (const one of document.querySelectorAll('body *:not(option, script)')) {
    const figures = getComputedStyle(one).fontVariantNumeric
    const isSet = [...one.childNodes].some((node) => node instanceof Text && /\d/.test(node.data))
    if (
      (isSet || one.matches('input:not([type=radio], [type=checkbox], [type=hidden], [type=range])')) &&
      figures !== 'lining-nums tabular-nums'
    )
      found.push(`figures are ${figures}: ${one.outerHTML.slice(0, 200)}`)
  }
  return found
}

/** At a desk: whatever stands beside a form and runs out below it, over what follows; words of a row with room for hardly one. */
function sideFaults(): string[] {
  const out = [...document.querySelectorAll('.form-side-words, .columns > *')].flatMap((side) => {
    const form = side.closest('form, .columns')
    const over = form ? side.getBoundingClientRect().bottom - form.getBoundingClientRect().bottom : 0
    return over > 1 ? [`runs ${over} px out of its form: ${side.outerHTML.slice(0, 200)}`] : []
  })
  const squeezed = [...document.querySelectorAll('.rows li > *')].filter((words) => {
    const { height, width } = words.getBoundingClientRect()
    return words.textContent && height > 2 * width
  })
  return [...out, ...squeezed.map((words) => `squeezed: ${words.outerHTML.slice(0, 200)}`)]
}

export interface Seen {
  title: string
  headings: number
  caution: boolean
  /** Links to pages of this service. */
  links: string[]
  /** Whether there is a way on from what the page itself says. */
  hasWayOn: boolean
  /** Links to a place on this page that is not there. */
  lost: string[]
}

/** What a page consists of, as far as every page must have it. */
export const seenOn = (page: Page): Promise<Seen> =>
  page.evaluate(() => {
    const anchors = [...document.querySelectorAll('a')]
    const onPage = (href: string) => href.startsWith(`${location.pathname}${location.search}#`)
    const paths = anchors.map((one) => (one.origin === location.origin ? one.href.slice(location.origin.length) : ''))
    return {
      title: document.title,
      headings: document.querySelectorAll('h1').length,
      caution: document.querySelector('.caution') !== null,
      links: [...new Set(paths.filter((path) => path && !onPage(path)))],
      hasWayOn: document.querySelector('main a[href], main form') !== null,
      lost: paths.filter(
        (path) => onPage(path) && !document.getElementById(decodeURIComponent(path.split('#')[1] ?? '')),
      ),
    }
  })
