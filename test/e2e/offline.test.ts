import type { Browser, Page } from 'playwright-core'
import { afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { aJpeg } from '../support/pictures.ts'
import { until } from '../support/until.ts'
import { openBrowser, phone, signInAs } from './browser.ts'
import { Cast } from './cast.ts'
import { serveDemo, today } from './serve.ts'

let served: Awaited<ReturnType<typeof serveDemo>>
let browser: Browser
let cast: Cast

/** What browsers complain of where there is no network. */
const withoutNetwork = /net::ERR_|status of 503/

beforeAll(async () => {
  browser = await openBrowser()
})
beforeEach(async () => {
  served = await serveDemo()
  cast = new Cast(browser, served.url, { viewport: phone })
})
afterEach(async () => {
  for (const { complaints } of cast.visits.values())
    complaints.splice(0, complaints.length, ...complaints.filter((words) => !withoutNetwork.test(words)))
  await cast.leave()
  await served.close()
})

/** Whoever prints, with the report form kept on their phone. */
async function atThePrinter(): Promise<Page> {
  const page = await cast.page('printer')
  await page.context().clock.setFixedTime(`${today}T18:00:00Z`)
  await page.goto('/reports/new')
  await until(() => page.evaluate(() => caches.match('/kept-mark').then((mark) => mark !== undefined)))
  return page
}

const offline = (page: Page, isOffline = true) => page.context().setOffline(isOffline)

const plates = async () => (await served.db.selectFrom('plate').select('id').execute()).length

/** Tells of a plate on the form, from the network or as it was kept. */
async function report(page: Page, good = '8') {
  await page.goto('/reports/new')
  await page.getByRole('link', { name: 'Called from the Hay' }).click()
  await page.getByRole('textbox', { name: 'Came out good' }).fill(good)
  await page.getByRole('button', { name: 'Send the report' }).click()
}

const reads = (page: Page, words: string) => page.getByRole('heading', { name: words }).waitFor()
const arrives = (page: Page) => page.getByText('It has arrived').waitFor()
const oneWaits = '1 report waits for the network'

/** Addresses of all that the worker keeps. */
const kept = (page: Page) =>
  page.evaluate(async () => {
    const caught = await Promise.all((await caches.keys()).map(async (name) => (await caches.open(name)).keys()))
    return caught.flat().map(({ url }) => new URL(url).pathname)
  })

describe('a report without the network', () => {
  test('is kept over a closed window and a restart, and sent once when the network is back', async () => {
    const page = await atThePrinter()
    const before = await plates()
    await offline(page)
    await report(page)
    await reads(page, oneWaits)
    // The same once more is another plate.
    await report(page)
    await reads(page, '2 reports wait for the network')
    expect(await plates()).toBe(before)

    const context = page.context()
    await page.close()
    await served.restart()
    const later = await context.newPage()
    await later.goto('/reports/new')
    await reads(later, '2 reports wait for the network')
    expect(await later.getByText('Called from the Hay, 8 of 8 good').count()).toBe(2)
    await offline(later, false)
    await until(async () => (await plates()) === before + 2)
    await arrives(later)
    await later.getByRole('link', { name: 'See what it says' }).click()
    await reads(later, '8 of 8 good: Called from the Hay')
    // How full it was is worked out as it arrives.
    expect(await later.getByRole('main').textContent()).toContain('half empty, as worked out')
    await later.goto('/printers')
    expect(await later.getByText('for the network').count()).toBe(0)
    expect(await plates()).toBe(before + 2)
  })

  test('goes with its picture, and a failed plate that is still wet goes, too', async () => {
    const page = await atThePrinter()
    await offline(page)
    await page.goto('/reports/new')
    await page.getByRole('button', { name: 'Nothing usable' }).click()
    await reads(page, oneWaits)
    await page.getByRole('link', { name: 'Report another print' }).click()
    await page.getByRole('link', { name: 'Called from the Hay' }).click()
    await page.getByRole('textbox', { name: 'Came out good' }).fill('8')
    await page.getByText('Pictures you already have, and what they show').click()
    const picture = { name: 'hay.jpg', mimeType: 'image/jpeg', buffer: await aJpeg() }
    await page.locator('input[type="file"][multiple]').setInputFiles(picture)
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('with a picture').waitFor()
    const context = page.context()
    await page.close()
    const later = await context.newPage()
    await later.goto('/printers')
    await reads(later, 'No network just now')
    await reads(later, '2 reports wait for the network')
    const pictures = () => served.db.selectFrom('picture').select('id').execute()
    const had = (await pictures()).length
    await offline(later, false)
    await until(async () => (await pictures()).length > had)
    const wet = served.db
      .selectFrom('plate')
      .select('printedOn')
      .where('told', '=', false)
      .where('printedOn', '=', today)
    // Each goes by itself, in whichever order.
    await until(async () => (await wet.execute()).length > 0)
  })

  test('whose answer is lost, or that two windows send at once, is kept once', async () => {
    const page = await atThePrinter()
    const before = await plates()
    const context = page.context()
    // Without locks nothing keeps two windows from sending at the same moment.
    await context.addInitScript(() => Object.defineProperty(navigator, 'locks', { value: undefined }))
    let lost = 0
    await context.route('**/reports/new', async (route) => {
      if (route.request().method() !== 'POST') return route.continue()
      // Sent again while this goes on, it waits for the first at the service.
      if (lost++ === 0) await route.fetch({ maxRedirects: 0 })
      await route.abort()
    })
    await report(page)
    await reads(page, oneWaits)
    expect(lost).toBeGreaterThan(0)
    expect(await plates()).toBe(before + 1)
    await offline(page)
    await context.unroute('**/reports/new')
    const other = await context.newPage()
    await other.goto('/reports/new')
    await reads(other, oneWaits)
    await offline(page, false)
    await Promise.all([page, other].map((one) => one.evaluate(() => dispatchEvent(new Event('online')))))
    await Promise.all([page, other].map((one) => one.getByText('for the network').waitFor({ state: 'detached' })))
    expect(await plates()).toBe(before + 1)
  })
})

describe('whose it is', () => {
  test('a sign-in that has ended meanwhile keeps it until the same member signs in again, and no other', async () => {
    const page = await atThePrinter()
    const before = await plates()
    await offline(page)
    await report(page)
    await reads(page, oneWaits)
    await served.db.deleteFrom('session').execute()
    await offline(page, false)
    await reads(page, '1 report waits until you sign in again')

    await signInAs(page, served.url, 'asker')
    await page.goto('/reports/new')
    await page.waitForLoadState('networkidle')
    expect(await page.getByText('report waits').count()).toBe(0)
    expect(await page.getByText('8 of 8 good').count()).toBe(0)
    // Nor does a window send it for them that still believes the first one to be here.
    const { id } = await served.db
      .selectFrom('member')
      .select('id')
      .where('name', '=', 'Casimir')
      .executeTakeFirstOrThrow()
    const answered = await page.evaluate(async (sentBy) => {
      const answer = await fetch('/reports/new', {
        method: 'POST',
        headers: { 'sent-by': sentBy },
        body: new URLSearchParams(),
      })
      return answer.status
    }, id)
    expect(answered).toBe(403)
    expect(await plates()).toBe(before)

    await page.context().clearCookies()
    await signInAs(page, served.url, 'printer')
    await page.goto('/reports/new')
    await arrives(page)
    expect(await plates()).toBe(before + 1)
  })

  test('signing out says what stays, and takes the kept form away', async () => {
    const page = await atThePrinter()
    await offline(page)
    await report(page)
    await reads(page, oneWaits)
    await page.goto('/reports/new')
    await reads(page, oneWaits)
    expect(await kept(page)).toContain('/reports/new')
    // Tied up, the service takes nothing: it still waits when its member goes.
    await page
      .context()
      .route('**/reports/new', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()))
    await offline(page, false)
    await page.goto('/printers')
    await page.getByRole('button', { name: 'Casimir' }).click()
    await page.getByText('1 report waits on this phone and is kept until you sign in here again.').waitFor()
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.getByText('You are signed out.').waitFor()
    await until(async () => !(await kept(page)).includes('/reports/new'))
    await offline(page)
    await page.goto('/reports/new')
    await reads(page, 'No network just now')
    expect(await page.getByText('Called from the Hay').count()).toBe(0)
    expect(await page.getByRole('link', { name: 'Report a print' }).count()).toBe(0)
  })
})

describe('a report that the service does not take', () => {
  test('is shown to be mended with what was typed, and is gone from the list once it has arrived', async () => {
    const page = await atThePrinter()
    const before = await plates()
    await offline(page)
    await page.goto('/reports/new')
    await page.getByRole('link', { name: 'Called from the Hay' }).click()
    await page.getByRole('textbox', { name: 'Came out good' }).fill('8')
    await page.getByRole('textbox', { name: 'Remark' }).fill('smelt of marsh')
    await page.getByRole('button', { name: 'Send the report' }).click()
    await reads(page, oneWaits)
    await served.db.updateTable('printer').set({ state: 'retired' }).where('name', '=', 'Gannet').execute()
    await offline(page, false)
    await reads(page, '1 report needs correcting')
    await page.getByRole('button', { name: 'Correct it' }).click()
    await page.getByText('to correct before this can be kept').waitFor()
    expect(await page.getByRole('textbox', { name: 'Remark' }).inputValue()).toBe('smelt of marsh')
    expect(await page.getByText('This printer is retired.').count()).toBeGreaterThan(0)
    await page.getByRole('radio', { name: 'Little Ox' }).check()
    await page.getByRole('button', { name: 'Send the report' }).click()
    await page.getByText('Your report is kept.').waitFor()
    expect(await plates()).toBe(before + 1)
    await page.goto('/printers')
    expect(await page.getByText('needs correcting').count()).toBe(0)
  })

  test('can be thrown away, by two presses', async () => {
    const page = await atThePrinter()
    await offline(page)
    await report(page)
    await reads(page, oneWaits)
    const away = page.getByRole('button', { name: 'Throw it away: Called from the Hay, 8 of 8 good' })
    await away.click()
    await reads(page, oneWaits)
    await away.click()
    await page.getByText('for the network').waitFor({ state: 'detached' })
  })
})
