import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { openBrowser, scriptsOnPhone } from './browser.ts'
import { Cast } from './cast.ts'
import { faultsOf } from './look.ts'
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

/** The page looks by itself; without scripts one presses. */
async function lookUntilProven(page: Page, looksItself: boolean) {
  const again = page.getByRole('link', { name: 'Look again' })
  while (!looksItself && (await again.isVisible())) await again.click()
  await page.getByText('Proven: no other choice').waitFor()
}

describe.each(scriptsOnPhone)('a roster, $how', ({ options }) => {
  test('from the pasted list to the shopping list, a question and the first purchase', async () => {
    cast = new Cast(browser, served.url, options)
    const page = await cast.page('asker')
    await page.goto('/rosters/new')
    await page.getByLabel('Name of the roster').fill('Trial of the weir')
    await page.getByLabel('The list').fill('12 x Fen Wardens\npoldr gaper\nRider, 3\nChoir at the Weir x4')
    await page.getByRole('button', { name: 'Keep this roster' }).click()

    await page.getByRole('radio', { name: /^Heron Riders/ }).check()
    await page.getByRole('button', { name: 'These are meant' }).click()
    await page.getByText('For 3 of 4 entries').waitFor()
    await page.getByRole('button', { name: 'Plan this roster' }).click()

    await lookUntilProven(page, options.javaScriptEnabled !== false)
    await page.getByRole('table', { name: 'Shopping list' }).waitFor()
    await page.getByText('One entry is not covered').waitFor()
    expect(
      await page.getByRole('table', { name: 'Printing list' }).locator('tbody').getByRole('rowheader').count(),
    ).toBe(3)
    await page.getByText('Questions about this plan').click()
    await page.getByLabel('What if …').selectOption('without memberships')
    await page.getByRole('button', { name: 'Work it out' }).click()
    await page.getByText('More than the plan', { exact: true }).waitFor()

    await page.getByText('Tick off', { exact: true }).first().click()
    await page.getByRole('textbox', { name: /^Paid/ }).fill('0.50')
    await page.getByRole('button', { name: /^I bought it/ }).click()
    await page.getByText('Noted as bought').waitFor()
    await page.getByText('What it was spent on').click()
    const paid = page.getByRole('table', { name: 'So far' }).getByRole('row', { name: /^Paid for offers/ })
    expect(await paid.textContent()).toContain('€0.50')
    // Looking a page over takes scripts.
    if (options.javaScriptEnabled) {
      expect(await faultsOf(page)).toEqual([])
      await page.reload()
    }
    // Each way buys for a roster of its own; what one has bought is not to be bought by the next.
    await page.getByRole('button', { name: /^Strike out/ }).click()
    await page.getByText('The purchase is struck out.').waitFor()
    await page.getByRole('button', { name: 'Remove this roster' }).click()
    await page.getByText('The roster is removed.').waitFor()
  })
})
