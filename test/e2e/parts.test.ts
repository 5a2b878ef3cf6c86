import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { desk, openBrowser, phone } from './browser.ts'
import { type PartsServer, servePartsPage } from './parts-server.ts'

let browser: Browser
let server: PartsServer
let outDir: string
let page: Page
let complaints: string[]

beforeAll(async () => {
  outDir = await mkdtemp(join(tmpdir(), 'parts-'))
  server = await servePartsPage(outDir)
  browser = await openBrowser()
})
afterAll(async () => {
  await server?.close()
  await rm(outDir, { recursive: true, force: true })
})
beforeEach(() => {
  complaints = []
  server.posted.length = 0
  server.proposals.clear()
  server.failing.clear()
  server.answersAfter = Promise.resolve()
})
afterEach(async () => {
  await page.context().close()
  // A broken script and whatever the Content-Security-Policy refused are told here.
  expect(complaints).toEqual([])
})

async function open(options: BrowserContextOptions = {}): Promise<void> {
  const context = await browser.newContext({ viewport: desk, ...options })
  page = await context.newPage()
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().includes('status of 500')) complaints.push(message.text())
  })
  await page.goto(`${server.url}/parts`)
}

describe('the look', () => {
  const cases = [phone, desk].flatMap((viewport) =>
    (['light', 'dark'] as const).map((colorScheme) => ({ viewport, colorScheme, width: viewport.width })),
  )

  test.each(cases)(
    'axe finds nothing and nothing runs over the edge: $width px, $colorScheme',
    async ({ viewport, colorScheme }) => {
      await open({ viewport, colorScheme })
      for (const fold of await page.locator('summary').all()) await fold.click()
      const { violations } = await new AxeBuilder({ page }).setLegacyMode().analyze()
      expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
      expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0)
    },
  )

  test('on a phone everything to press is at least 44 px high, and a table keeps its meaning', async () => {
    await open({ viewport: phone })
    const heights = await page
      .locator(
        'button:visible, .button:visible, .choice:visible, select:visible, input[type=text]:visible, summary:visible',
      )
      .evaluateAll((things) => things.map((thing) => thing.getBoundingClientRect().height))
    expect(heights.length).toBeGreaterThan(15)
    expect(Math.min(...heights)).toBeGreaterThanOrEqual(44)
    await expect(page.getByRole('table', { name: 'Support sets' }).getByRole('cell').count()).resolves.toBe(4)
    const label = await page
      .locator('td[data-label="Copies"]')
      .first()
      .evaluate((cell) => getComputedStyle(cell, '::before').content)
    expect(label).toBe('"Copies"')
  })

  test("the five places are always there; what stands behind one's name opens without script", async () => {
    await open({ viewport: phone, javaScriptEnabled: false })
    expect(await page.getByRole('link', { name: 'At the printer' }).isVisible()).toBe(true)
    expect(await page.getByRole('link', { name: 'Members' }).isVisible()).toBe(false)
    await page.locator('.own-name').click()
    expect(await page.getByRole('link', { name: 'Members' }).isVisible()).toBe(true)
  })

  test('without script the slider has its button, and the fields of a form are sent', async () => {
    await open({ javaScriptEnabled: false })
    await page.getByRole('slider').fill('4')
    await page.getByRole('button', { name: 'Rank again' }).click()
    await page.waitForURL('**/parts?looks=4')
    expect(await page.locator('.answer-score .money').allTextContents()).toEqual(['€15.85', '€4.00'])
    await page.getByLabel('Copies tried').fill('12')
    await page.getByRole('button', { name: 'Keep it' }).click()
    expect(server.posted[0]).toContain('tried=12')
    expect(server.posted[0]).toContain('budget.currency=EUR')
  })
})

describe('the type-ahead', () => {
  const found = [
    { id: 'u1', label: 'Marsh wardens', note: '4 stand-ins known', href: '/units/u1' },
    { id: 'u2', label: '<img src=x onerror=alert(1)>', note: 'odd', href: 'https://elsewhere.example/' },
  ]
  const option = (name?: string) =>
    page.getByRole('listbox', { name: 'Proposals' }).getByRole('option', name === undefined ? {} : { name })
  const target = () => page.locator('input[name=unitId]').inputValue()

  test('proposes, is steered by keys, and sends the id of what was chosen', async () => {
    server.proposals.set('mar', { items: found })
    await open()
    const box = page.getByRole('combobox', { name: 'Unit' })
    await box.pressSequentially('mar')
    await option().first().waitFor()
    expect(await box.getAttribute('aria-expanded')).toBe('true')
    expect((await new AxeBuilder({ page }).setLegacyMode().include('.suggest').analyze()).violations).toEqual([])
    await box.press('ArrowUp')
    await box.press('ArrowDown')
    await box.press('Enter')
    expect(await box.inputValue()).toBe('Marsh wardens')
    expect(await target()).toBe('u1')
    expect(await page.getByRole('link', { name: '4 stand-ins known' }).getAttribute('href')).toContain('/units/u1')
    expect(server.posted).toEqual([])
    await box.press('s')
    expect(await target()).toBe('')
  })

  test('what members typed stays text, and no link leads elsewhere', async () => {
    server.proposals.set('odd', { items: found })
    await open()
    await page.getByRole('combobox', { name: 'Unit' }).pressSequentially('odd')
    await option('onerror').click()
    expect(await target()).toBe('u2')
    expect(await page.locator('.suggest img').count()).toBe(0)
    expect(await page.locator('.chosen a').count()).toBe(0)
  })

  test('an answer that comes late is not shown for what is typed now', async () => {
    const late = Promise.withResolvers<void>()
    server.proposals.set('ma', { items: [{ id: 'late', label: 'Late' }], after: late.promise })
    server.proposals.set('marsh', { items: [{ id: 'now', label: 'Now' }] })
    await open()
    const box = page.getByRole('combobox', { name: 'Unit' })
    const asked = page.waitForRequest('**/units/suggest?q=ma')
    await box.pressSequentially('ma')
    const request = await asked
    await box.pressSequentially('rsh')
    await option('Now').waitFor()
    late.resolve()
    // Nothing where the page has not waited for it.
    await request.response()
    await page.evaluate(() => new Promise(requestAnimationFrame))
    expect(await option().allTextContents()).toEqual(['Now'])
    await box.press('Escape')
    expect(await option().count()).toBe(0)
  })
})

describe('the slider', () => {
  test('shows the new order in place, keeps the focus, and the address can be passed on', async () => {
    await open()
    const slider = page.getByRole('slider')
    await slider.focus()
    await slider.press('End')
    await page.getByText('+ €5.00 looks').first().waitFor()
    expect(await page.locator('output').textContent()).toBe('€5.00')
    expect(await slider.evaluate((thing) => thing === document.activeElement)).toBe(true)
    expect(page.url()).toBe(`${server.url}/parts?looks=5`)
    expect(await page.getByRole('button', { name: 'Rank again' }).isVisible()).toBe(false)
  })

  test('goes the plain way when the page does not answer', async () => {
    server.failing.add('0')
    await open()
    await page.getByRole('slider').press('Home')
    await page.waitForURL('**/parts?looks=0')
    await expect.poll(() => page.getByText('looks, which nobody pays').count()).toBe(0)
  })
})

describe('forms in the hand', () => {
  test('a second press sends nothing more', async () => {
    await open()
    // Not at once, which a browser makes one of by itself, but while the server is still at it.
    const answer = Promise.withResolvers<void>()
    server.answersAfter = answer.promise
    const pressedTwice = page.waitForRequest('**/heard?twice')
    const button = page.getByRole('button', { name: 'Keep it' })
    const pressing = button.evaluate(async (one: HTMLElement) => {
      one.click()
      await fetch('/heard')
      one.click()
      await new Promise(requestAnimationFrame)
      await fetch('/heard?twice')
    })
    // It leaves the page, which may end what runs in it.
    pressing.catch(() => {})
    await pressedTwice
    answer.resolve()
    await page.waitForURL('**/kept')
    expect(server.posted).toHaveLength(1)
  })

  test('which of two buttons was pressed is sent', async () => {
    await open()
    await page.getByRole('button', { name: 'No, I would not field it' }).click()
    await page.waitForURL('**/vote')
    expect(server.posted).toEqual(['wouldField=false'])
  })

  test('fewer and more never lead below none; the summary has the focus and leads to its field', async () => {
    await open()
    expect(await page.locator('.error-summary').evaluate((thing) => thing === document.activeElement)).toBe(true)
    const tried = page.getByRole('textbox', { name: 'Copies tried' })
    await page.getByRole('button', { name: 'One more: Copies tried' }).click()
    expect(await tried.inputValue()).toBe('11')
    await tried.fill('0')
    await page.getByRole('button', { name: 'One fewer: Copies tried' }).click()
    expect(await tried.inputValue()).toBe('0')
    await page.getByRole('link', { name: 'Title: There is such a file' }).click()
    expect(
      await page.getByRole('textbox', { name: 'Title' }).evaluate((thing) => thing === document.activeElement),
    ).toBe(true)
  })
})
