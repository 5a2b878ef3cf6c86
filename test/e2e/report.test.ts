import type { Browser, Locator, Page } from 'playwright-core'
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { aJpeg } from '../support/pictures.ts'
import { until } from '../support/until.ts'
import { onPhone, openBrowser, phone, scriptsAtDesk, scriptsOnPhone } from './browser.ts'
import { Cast } from './cast.ts'
import { serveDemo } from './serve.ts'

let served: Awaited<ReturnType<typeof serveDemo>>
let browser: Browser
let cast: Cast

beforeAll(async () => {
  browser = await openBrowser()
})
// Upkeep changes what a printer is believed to do, so each time begins with the worn film again.
beforeEach(async () => {
  served = await serveDemo()
})
afterEach(async () => {
  await cast.leave()
  await served.close()
})

describe.each(scriptsOnPhone)('reporting, $how', ({ options, scripts }) => {
  test('a failed plate, whose fault it was, and the new film', async () => {
    cast = new Cast(browser, served.url, options)
    const page = await cast.page('printer')
    let taps = 0
    const tap = async (thing: Locator) => {
      taps += 1
      await thing.click()
    }

    await page.goto('/reports/new')
    await tap(page.getByRole('link', { name: 'Called from the Hay' }))
    const tried = page.getByRole('textbox', { name: 'On the plate' })
    const good = page.getByRole('textbox', { name: 'Came out good' })
    const snapped = page.getByRole('textbox', { name: 'One side of the plate only' })
    // As many as on the last plate of it; how they came out is for the member to say.
    expect(await tried.inputValue()).toBe('8')
    expect(await page.getByText('Starts at 8, as last time.').isVisible()).toBe(true)
    expect(await good.inputValue()).toBe('')
    if (scripts) {
      await tap(page.getByRole('button', { name: 'One more: One side of the plate only' }))
      expect([await good.inputValue(), await snapped.inputValue()]).toEqual(['7', '1'])
    } else {
      await good.fill('8')
      await snapped.fill('1')
      await page.getByRole('button', { name: 'Send the report' }).click()
      await page.getByText('to correct before this can be kept').waitFor()
      expect([await good.inputValue(), await snapped.inputValue()]).toEqual(['8', '1'])
      await good.fill('7')
    }
    await tap(page.getByRole('button', { name: 'Send the report' }))
    await page.getByText('Your report is kept.').waitFor()
    if (scripts) expect(taps).toBe(3)

    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('7 of 8 good: Called from the Hay')
    // One failed copy is not enough to say that it was most likely the machine.
    expect(await page.locator('.verdict-words').textContent()).toBe(
      "Perhaps the machine, but it can't be said for sure",
    )
    expect(await page.getByRole('main').textContent()).toContain('Look at the film')
    expect(await page.getByRole('complementary', { name: 'Caution' }).isVisible()).toBe(true)

    await page.getByRole('link', { name: 'Note what you did to the printer' }).click()
    await page.getByRole('heading', { name: 'It wants a look' }).waitFor()
    await page.getByRole('radio', { name: 'Film changed' }).check()
    await page.getByRole('button', { name: 'Note this upkeep' }).click()
    await page.getByText('The upkeep is noted.').waitFor()
    const newest = page.getByRole('table', { name: 'Success of the machine by upkeep period' }).getByRole('row').nth(1)
    expect(await newest.getByRole('rowheader').textContent()).toBe('1 October 2026')
    expect(await newest.getByRole('cell').nth(0).textContent()).toBe('film changed')
    // The plate of today was printed before.
    expect(await newest.getByRole('cell').allTextContents()).toContain('nothing reported')
    expect(await page.getByRole('heading', { name: 'It wants a look' }).count()).toBe(0)
  })
})

describe.each(onPhone)('from the first page, $how', ({ options, scripts }) => {
  test('a stand-in is found by its looks, and its print reported with a picture that the file’s page shows', async () => {
    cast = new Cast(browser, served.url, options)
    const page = await cast.page('printer')
    await page.goto('/')
    await page.getByRole('link', { name: 'Units', exact: true }).click()
    // All of its line can be pressed.
    const line = page.getByRole('listitem').filter({ hasText: 'Eel-Spear Levy' })
    expect((await line.boundingBox())?.height).toBeGreaterThanOrEqual(44)
    await line.locator('.row-drawing').click({ force: true })
    // So can a stand-in on its figure.
    const standIn = page.locator('.stand-in').filter({ hasText: 'Called from the Hay' })
    await standIn.locator('.stand-in-figure').click({ force: true })
    await page.getByRole('link', { name: 'Report a print of it' }).click()
    const main = page.getByRole('main')
    await page.getByRole('textbox', { name: 'Came out good' }).fill('8')
    // How full the plate was nobody has to say.
    await main.getByText('8 copies on the plate of Gannet: half empty').waitFor()
    if (scripts) {
      await page.getByRole('textbox', { name: 'On the plate' }).fill('30')
      await main.getByText('30 copies on the plate of Gannet: about full').waitFor()
      await page.getByRole('textbox', { name: 'On the plate' }).fill('8')
    }
    const picture = { name: 'hay.jpg', mimeType: 'image/jpeg', buffer: await aJpeg() }
    await page.getByLabel('Take a picture of it').setInputFiles(picture)
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('Your report is kept.').waitFor()
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('8 of 8 good: Called from the Hay')
    expect(await main.textContent()).toContain('half empty, as worked out')
    const { hash } = await served.db
      .selectFrom('picture')
      .select('hash')
      .orderBy('id', 'desc')
      .limit(1)
      .executeTakeFirstOrThrow()
    await main.locator('a[href^="/files/"]').first().click()
    const shown = page.locator('#pictures').locator(`img[src*="${hash}"]`)
    await shown.scrollIntoViewIfNeeded()
    await until(() => shown.evaluate((img: HTMLImageElement) => img.naturalWidth > 0))
  })
})

/** Every control of a page that is to be hit with wet gloves, smaller than 44 px a side (WCAG 2.2, 2.5.5): what stands in a sentence is none. */
const tooSmall = (page: Page) =>
  page.getByRole('main').evaluate((main) => {
    const controls = main.querySelectorAll<HTMLElement>(
      'button, select, textarea, summary, a.button, a.choice, input:not([type="hidden"])',
    )
    return [...controls].flatMap((control) => {
      const hit = control.closest<HTMLElement>('label.choice') ?? control
      const { width, height } = hit.getBoundingClientRect()
      const isSeen = control.checkVisibility() && width > 0
      return isSeen && Math.min(width, height) < 44
        ? [`${hit.textContent?.trim() || hit.outerHTML.slice(0, 80)}: ${width} × ${height}`]
        : []
    })
  })

describe('with wet gloves', () => {
  test('every control at the printer is large enough, folded out as well', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('printer')
    await page.goto('/printers')
    expect(await tooSmall(page)).toEqual([])
    const largest = await page.getByRole('main').evaluate((main) => {
      const area = ({ width, height }: DOMRect) => width * height
      const pressed = [...main.querySelectorAll('a, button')]
      return pressed.toSorted(
        (one, other) => area(other.getBoundingClientRect()) - area(one.getBoundingClientRect()),
      )[0]?.textContent
    })
    expect(largest).toBe('Report a print')
    await page.getByRole('link', { name: 'Report a print' }).click()
    await page.getByRole('heading', { name: 'Report a print' }).waitFor()
    expect(await tooSmall(page)).toEqual([])
    await page.getByRole('link', { name: 'Called from the Hay' }).click()
    await page.getByRole('button', { name: 'Send the report' }).waitFor()
    for (const summary of await page.locator('main summary').all()) await summary.click()
    expect(await tooSmall(page)).toEqual([])
  })
})

describe('with a thumb', () => {
  test('what stands behind one’s name, leads down a long page or changes a number is large enough', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('asker')
    const small = (links: Locator) =>
      links.evaluateAll((found) =>
        found.flatMap((link) => {
          const { width, height } = link.getBoundingClientRect()
          return Math.min(width, height) < 44 ? [`${link.textContent}: ${width} × ${height}`] : []
        }),
      )
    await page.goto('/rosters')
    await page.getByRole('link', { name: 'Both banks, for the summer meeting' }).click()
    await page.locator('.roster-entries summary').first().click()
    await page.locator('a.value').first().waitFor()
    expect(await small(page.locator('.contents a, a.value'))).toEqual([])
    await page.locator('.own-name').click()
    await page.getByRole('link', { name: 'Help' }).first().waitFor()
    expect(await small(page.locator('.own-places a'))).toEqual([])
  })
})

describe('the counts of a report', () => {
  test('follow from what was seen until the member says otherwise; nothing said is nothing sent', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('printer')
    await page.goto('/reports/new')
    await page.getByRole('link', { name: 'Called from the Hay' }).click()
    const good = page.getByRole('textbox', { name: 'Came out good' })
    const more = (seen: string) => page.getByRole('button', { name: `One more: ${seen}` }).click()
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('to correct before this can be kept').waitFor()
    const fewer = page.getByRole('button', { name: 'One fewer: Came out good' })
    await fewer.click()
    expect(await good.inputValue()).toBe('7')
    await page.getByRole('button', { name: 'All of them' }).click()
    expect(await good.inputValue()).toBe('8')
    // Nothing failed, so nothing is asked about how that looked.
    const looks = page.getByRole('group', { name: 'What did the failed ones look like' })
    expect(await looks.isVisible()).toBe(false)
    await fewer.click()
    expect([await good.inputValue(), await looks.isVisible()]).toEqual(['7', true])
    await more('Supports snapped')
    expect(await good.inputValue()).toBe('7')
    await more('Soft detail')
    // A number that the member said stays; what doesn't add up is said, and refused in the same words.
    const wrong = page.getByText('7 good and 2 failed are more than the 8 on the plate.')
    expect([await good.inputValue(), await wrong.isVisible()]).toEqual(['7', true])
    await page.getByRole('button', { name: 'Send the report' }).click()
    await wrong.nth(1).waitFor()
    expect(await good.inputValue()).toBe('7')
    await good.fill('1')
    expect(await page.locator('.field:has([role="status"]):has(> .field-error)').count()).toBe(0)
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('Your report is kept.').waitFor()
    expect(await page.getByText("supports snapped (1), soft detail (1), don't know (5)").isVisible()).toBe(true)
  })
})

describe.each(scriptsAtDesk)('a plate of several prints, $how', ({ options, scripts }) => {
  test('is told with another file on it, and one that is still wet in two taps and then in full', async () => {
    cast = new Cast(browser, served.url, options)
    const page = await cast.page('printer')
    await page.goto('/reports/new')
    await page.getByRole('link', { name: 'Called from the Hay' }).click()
    await page.getByRole('textbox', { name: 'Came out good' }).fill('8')
    await page.getByText('And on the same plate').click()
    await page.getByRole('button', { name: 'Add Eel Spears, Complete' }).click()
    const both = page.getByRole('textbox', { name: 'Came out good' })
    await both.nth(1).waitFor()
    expect(await both.nth(0).inputValue()).toBe('8')
    const tried = page.getByRole('textbox', { name: 'On the plate' })
    await tried.nth(1).fill('3')
    await both.nth(1).fill('2')
    // The counts of each print hang together among themselves.
    if (scripts) {
      await page.getByRole('button', { name: 'All of them came out good' }).nth(1).click()
      expect([await both.nth(0).inputValue(), await both.nth(1).inputValue()]).toEqual(['8', '3'])
      await both.nth(1).fill('2')
    }
    // The return key sends it, whatever buttons stand before that one.
    await both.nth(1).press('Enter')
    await page.getByText('Your report is kept.').waitFor()
    const heading = page.getByRole('heading', { level: 1 })
    expect(await heading.textContent()).toBe('10 of 11 good: Called from the Hay and 1 more')
    expect(
      await page
        .getByRole('table', { name: /Print by print/ })
        .getByRole('row')
        .count(),
    ).toBe(2)

    await page.goto('/reports/new')
    await page.getByRole('button', { name: 'Nothing usable' }).click()
    await page.getByText('The failed plate is noted.').waitFor()
    await page.getByRole('link', { name: 'Report it in full' }).click()
    await page.getByRole('button', { name: 'Add Eel Spears, Complete' }).click()
    await tried.fill('4')
    expect(await both.inputValue()).toBe('0')
    await page.getByRole('textbox', { name: 'Stuck to the film' }).fill('4')
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('Your report is kept.').waitFor()
    expect(await heading.textContent()).toBe('0 of 4 good: Eel Spears, Complete')
  })
})
