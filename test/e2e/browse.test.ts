import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { desk, openBrowser, phone, scriptsAtDesk } from './browser.ts'
import { Cast } from './cast.ts'
import { serveDemo } from './serve.ts'

let served: Awaited<ReturnType<typeof serveDemo>>
let browser: Browser
let cast: Cast

beforeAll(async () => {
  served = await serveDemo()
  browser = await openBrowser()
})
afterEach(() => cast.leave())
afterAll(async () => {
  await served?.close()
})

const wall = (page: Page) => page.locator('#found')
const titles = (page: Page) => wall(page).getByRole('heading', { level: 3 }).getByRole('link').allTextContents()
const sums = async (page: Page) =>
  (await wall(page).locator('.sum .money').allTextContents()).map((words) => Number(words.slice(1)))

/** Shows what the form asks for: with scripts at once, without by its button. */
async function show(page: Page, scripts: boolean): Promise<void> {
  if (!scripts) await page.getByRole('button', { name: 'Show', exact: true }).click()
}

/** On a phone the filter is folded; beside the wall of a wide page it stands open. */
async function unfold(page: Page): Promise<void> {
  const fold = page.getByText('Filter and sort', { exact: true })
  if ((await fold.isVisible()) && !(await page.getByLabel('In order of').isVisible())) await fold.click()
}

describe.each(scriptsAtDesk)('browsing, $how', ({ options, scripts }) => {
  test('a unit by a name nearly right: filter, sort, compare, and the file itself', async () => {
    cast = new Cast(browser, served.url, options)
    const page = await cast.page('asker')
    await page.goto('/')
    await page.getByRole('searchbox').fill('marsh warden')
    await page.getByRole('button', { name: 'Look up' }).click()
    // Home has links of this name, too.
    await page.getByRole('heading', { level: 1, name: 'Looked up: marsh warden' }).waitFor()
    await page.getByRole('link', { name: 'Fen Wardens' }).first().click()
    await page.getByRole('heading', { name: '13 known stand-ins' }).waitFor()

    const asked = await titles(page)
    expect(asked).toHaveLength(13)
    await unfold(page)
    await page.getByLabel('In order of').selectOption('price')
    await show(page, scripts)
    // Two cost nothing; of equal prices the better ranked comes first.
    await expect.poll(async () => (await titles(page))[1]).toBe('Bog Bows')

    await unfold(page)
    await page.getByRole('checkbox', { name: 'banner' }).check()
    await show(page, scripts)
    await expect.poll(async () => (await titles(page)).length).toBeLessThan(13)
    expect(await titles(page)).not.toContain('Bog Bows')
    await page.getByRole('checkbox', { name: 'Can be had' }).check()
    await show(page, scripts)
    await expect.poll(() => titles(page)).not.toContain('Fen Pickets')
    // Of twice as many models each costs less; the price of the file is paid once.
    const before = await sums(page)
    await page.getByLabel('For how many models').fill('20')
    if (scripts) await page.getByLabel('For how many models').press('Tab')
    await show(page, scripts)
    await expect.poll(async () => (await sums(page))[0]).toBeLessThan(before[0] ?? 0)
    expect((await sums(page))[0]).toBeGreaterThan((before[0] ?? 0) / 2)

    const [first = '', second = ''] = await titles(page)
    await page.getByRole('checkbox', { name: `Compare ${first}` }).check()
    await page.getByRole('checkbox', { name: `Compare ${second}` }).check()
    // Its button is there at once, however far down the wall ends.
    const compare = page.getByRole('button', { name: 'Compare those ticked' })
    const bottom = await compare.evaluate((button) => button.getBoundingClientRect().bottom)
    expect(bottom).toBeLessThanOrEqual(options.viewport.height)
    await compare.click()
    const sideBySide = page.locator('#side-by-side')
    const compared = await sideBySide.getByRole('columnheader').getByRole('link').allTextContents()
    expect(compared.toSorted()).toEqual([first, second].toSorted())
    expect(await page.locator('[name=wanted]').first().inputValue()).toBe('20')
    // Each on the unit's base, and what tells them apart in a sentence.
    expect(await sideBySide.locator('thead .shadow-base-unit').count()).toBe(2)
    expect(await sideBySide.locator('.told').first().textContent()).toMatch(
      / (cheaper|dearer) than | costs as much as /,
    )
    await sideBySide.getByRole('link', { name: first }).click()
    await page.getByRole('heading', { level: 1, name: first }).waitFor()
  })
})

describe.each([phone, desk])('the wall and the list at $width px', (viewport) => {
  test('nothing moves while they come: pictures and typefaces have their place before', async () => {
    cast = new Cast(browser, served.url, { viewport })
    const page = await cast.page('asker')
    await page.addInitScript(() => {
      const shifts = window as unknown as { shifted: number }
      shifts.shifted = 0
      new PerformanceObserver((list) => {
        for (const one of list.getEntries()) shifts.shifted += (one as unknown as { value: number }).value
      }).observe({ type: 'layout-shift', buffered: true })
    })
    const shifted = async () => {
      await page.evaluate(() => document.fonts.ready)
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))))
      return page.evaluate(() => (window as unknown as { shifted: number }).shifted)
    }
    await page.goto('/units')
    // Web Vitals calls up to 0.1 good (web.dev/articles/cls); ours is to be next to nothing.
    expect(await shifted()).toBeLessThan(0.02)
    await page.getByRole('link', { name: 'Fen Wardens' }).click()
    await page.getByRole('heading', { name: '13 known stand-ins' }).waitFor()
    expect(await shifted()).toBeLessThan(0.02)
  })
})

describe('the list of units on a phone', () => {
  test('has twenty-five of them within two screens', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('asker')
    const heightOfRows = async () => {
      await page.goto('/units')
      await page.evaluate(() => document.fonts.ready)
      const rows = await page.locator('.rows').getByRole('listitem').all()
      const [first, last] = [await rows[0]?.boundingBox(), await rows[24]?.boundingBox()]
      if (!first || !last) throw new Error('there are fewer rows')
      return last.y + last.height - first.y
    }
    // Typefaces that come too late are left to the next page, and the lines of others are higher.
    const heights: number[] = []
    while (heights.length < 5 && !heights.some((height) => height <= 2 * phone.height))
      heights.push(await heightOfRows())
    expect(Math.min(...heights)).toBeLessThanOrEqual(2 * phone.height)
  })
})

describe.each([phone, desk])('a file at $width px', (viewport) => {
  test('tells how to get it, what it cost, whether it prints and what is wrong with it', async () => {
    cast = new Cast(browser, served.url, { viewport })
    const page = await cast.page('asker')
    await page.goto('/files?q=reed+sentrys')
    await page.getByRole('link', { name: 'Reed Sentries' }).click()
    const purchase = page.locator('#offers').getByRole('listitem').filter({ hasText: 'Purchase' })
    expect(await purchase.textContent()).toMatch(/€7.50 on 2 July 2025.*€8.00/)
    // Anywhere on the line, not on its name alone.
    await purchase.click({ position: { x: 300, y: 6 } })
    expect(await page.locator('#prices .money').allTextContents()).toEqual(['€8.00', '€7.50'])
    await page.goBack()
    const sets = page.getByRole('table', { name: 'Support sets, the newest revision first' })
    expect(await sets.getByRole('rowheader').allTextContents()).toEqual([
      expect.stringMatching(/^as supplied.*of 2\.0/),
      expect.stringMatching(/^as supplied.*of 1\.0/),
      expect.stringMatching(/^extra supports.*of 1\.0/),
    ])
    expect(await page.locator('#revisions .success-words').allTextContents()).toEqual(
      Array(2).fill(
        expect.stringMatching(
          /^About \d+ of 100? come out good on a printer in good order; the file alone \d+-\d+ of 100 \(counts as \d+ copies\)\.$/,
        ),
      ),
    )
    expect(await page.locator('#snags').textContent()).toContain('mended in revision 2.0')
    const reports = page.getByRole('table', { name: 'The latest 4 reports' })
    await reports.getByRole('rowheader').first().getByRole('link').click()
    await page.getByRole('heading', { level: 1, name: /^\d+ of \d+ good: Reed Sentries$/ }).waitFor()
  })
})

describe('with the keyboard alone', () => {
  test('one finds a unit, looks into a sum, moves the slider and votes', async () => {
    cast = new Cast(browser, served.url, { viewport: desk })
    const page = await cast.page('wendel')
    const { keyboard } = page
    /** Tabs on until the focus is on this, as somebody without a mouse would. */
    async function tabTo(name: string | RegExp): Promise<void> {
      for (let presses = 0; presses < 80; presses++) {
        await keyboard.press('Tab')
        const focused = page.locator(':focus')
        const words = `${await focused.getAttribute('aria-label')} ${await focused.textContent()} ${await focused.getAttribute('id')}`
        if (typeof name === 'string' ? words.includes(name) : name.test(words)) return
      }
      throw new Error(`no way to ${name} by Tab`)
    }
    await page.goto('/')
    await keyboard.press('Tab')
    expect(await page.locator(':focus').textContent()).toBe('Skip to the content')
    await keyboard.press('Enter')
    await tabTo('10 Fen Wardens')
    await keyboard.press('Enter')
    await page.getByRole('heading', { level: 1, name: '10 Fen Wardens' }).waitFor()
    await tabTo('Watch on the Dyke')
    expect(await page.locator(':focus').evaluate((one) => getComputedStyle(one).outlineStyle)).toBe('solid')
    await keyboard.press('Enter')
    await page.getByRole('table', { name: 'The sum that ranks Watch on the Dyke' }).waitFor()
    await tabTo('looks-looks')
    await keyboard.press('Home')
    await page.waitForURL(/looks=0/)
    // From the head of the page again: what is ranked anew stands before the slider.
    await page.goto(page.url())
    await keyboard.press('Tab')
    await keyboard.press('Enter')
    await tabTo(/^(Yes, I would|No, I would not) field it: /)
    await keyboard.press('Enter')
    await page.getByText('Your vote is counted').waitFor()
  })

  test('one asks for a unit from the list of proposals', async () => {
    cast = new Cast(browser, served.url, { viewport: desk })
    const page = await cast.page('wendel')
    await page.goto('/requests/new')
    await page.getByLabel('Which unit').focus()
    await page.keyboard.type('sawtooth lampry')
    await page.keyboard.press('Control+A')
    await page.keyboard.type('poldr gaper')
    await page.getByRole('option', { name: 'Polder Gaper' }).waitFor()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Tab')
    await page.keyboard.type('1')
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: 'The group knows 3 stand-ins already' }).waitFor()
    // The first thing to mend has the focus.
    expect(await page.locator(':focus').getAttribute('class')).toBe('error-summary')
  })
})

test('what a form describes is drawn with each change of it, and still without scripts', async () => {
  cast = new Cast(browser, served.url, { viewport: desk })
  const page = await cast.page('wendel')
  await page.goto('/units/new')
  const picture = page.locator('.described')
  await page.getByLabel('Shape').selectOption('rectangle')
  await page.getByLabel('Width').fill('50')
  await page.getByLabel('Length').fill('75')
  await page.getByLabel('Models in one unit').fill('3')
  await picture.getByText('28 mm, on 75 × 50 mm rectangular bases, 3 in a box').waitFor()
  expect(await picture.locator('.shadow-base').count()).toBe(1)
  expect(await picture.locator('svg').count()).toBe(1)

  const still = new Cast(browser, served.url, { viewport: desk, javaScriptEnabled: false })
  const asIs = await still.page('owner')
  await asIs.goto('/units?q=fen+wardens')
  await asIs.getByRole('link', { name: 'Fen Wardens' }).click()
  await asIs.getByRole('link', { name: /change the unit/ }).click()
  await asIs.locator('.described').getByText('28 mm, on 25 mm round bases, 10 in a box').waitFor()
  await still.leave()
})
