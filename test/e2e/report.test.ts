import type { Browser, Locator } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { freshDatabase } from '../support/database.ts'
import { openBrowser, phone, ways } from './browser.ts'
import { Cast } from './cast.ts'
import { type Served, serveDemo } from './serve.ts'

let database: Awaited<ReturnType<typeof freshDatabase>>
let served: Served
let browser: Browser
let cast: Cast

beforeAll(async () => {
  browser = await openBrowser()
})
// Upkeep changes what a printer is believed to do, so each time begins with the worn film again.
beforeEach(async () => {
  database = await freshDatabase()
  served = await serveDemo(database.db)
})
afterEach(async () => {
  await cast.leave()
  await served.close()
  await database.close()
})
afterAll(() => browser?.close())

describe.each(ways)('reporting, $how', ({ options, scripts }) => {
  test('a failed plate, whose fault it was, and the new film', async () => {
    cast = new Cast(browser, served.url, options)
    const page = await cast.page('printer')
    let taps = 0
    const tap = async (thing: Locator) => {
      taps += 1
      await thing.click()
    }

    await page.goto('/reports/new')
    await tap(page.getByRole('link', { name: 'Pack of Cracks' }))
    const tried = page.getByRole('textbox', { name: 'On the plate' })
    const good = page.getByRole('textbox', { name: 'Came out good' })
    const snapped = page.getByRole('textbox', { name: 'One side of the plate only' })
    // As many as on the last plate of it; how they came out is for the member to say.
    expect(await tried.inputValue()).toBe('4')
    expect(await good.inputValue()).toBe('')
    if (scripts) {
      await tap(page.getByRole('button', { name: 'One more: One side of the plate only' }))
      expect([await good.inputValue(), await snapped.inputValue()]).toEqual(['3', '1'])
    } else {
      await good.fill('4')
      await snapped.fill('1')
      await page.getByRole('button', { name: 'Send the report' }).click()
      await page.getByText('to mend before this can be kept').waitFor()
      expect([await good.inputValue(), await snapped.inputValue()]).toEqual(['4', '1'])
      await good.fill('3')
    }
    await tap(page.getByRole('button', { name: 'Send the report' }))
    await page.getByText('Your report is kept.').waitFor()
    if (scripts) expect(taps).toBe(3)

    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('3 of 4 good: Pack of Cracks')
    expect(await page.locator('.verdict-words').textContent()).toBe('Most likely the machine')
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

describe('the counts of a report', () => {
  test('follow from what was seen until the member says otherwise; nothing said is nothing sent', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('printer')
    await page.goto('/reports/new')
    await page.getByRole('link', { name: 'Pack of Cracks' }).click()
    const good = page.getByRole('textbox', { name: 'Came out good' })
    const more = (seen: string) => page.getByRole('button', { name: `One more: ${seen}` }).click()
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('to mend before this can be kept').waitFor()
    await page.getByRole('button', { name: 'All of them' }).click()
    expect(await good.inputValue()).toBe('4')
    await more('Supports snapped')
    await more('Soft detail')
    expect(await good.inputValue()).toBe('2')
    await page.getByRole('button', { name: 'One fewer: Soft detail' }).click()
    expect(await good.inputValue()).toBe('3')
    await good.fill('1')
    await more('Soft detail')
    expect(await good.inputValue()).toBe('1')
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('Your report is kept.').waitFor()
    expect(await page.getByText("supports snapped (1), soft detail (1), don't know (1)").isVisible()).toBe(true)
  })
})
