import { mkdir, stat } from 'node:fs/promises'
import { join } from 'node:path'
import type { BrowserContextOptions, Locator, Page } from 'playwright-core'
import { openDatabase } from '../../db/connect.ts'
import { migrate } from '../../db/migrate.ts'
import { openBrowser, phone, signInAs, visit } from './browser.ts'
import { fillDemo, serve } from './serve.ts'

/*
 * Makes the README's pictures from the demo group, always on the same day: `npx tsx test/e2e/pictures.ts`. They change
 * only when the pages do.
 */
const folder = join(import.meta.dirname, '../../web/pictures')
const mostBytes = 400_000
const margin = 12

interface Picture {
  name: string
  who: string
  options: BrowserContextOptions
  /** Leads to the page and leaves it as it is to be seen. */
  show(page: Page): Promise<void>
  /** What the picture begins with, if not with the page. */
  from?: (page: Page) => Locator
  /** What it ends with. */
  until: (page: Page) => Locator
}

const desk = { viewport: { width: 1280, height: 900 } }

const pictures: Picture[] = [
  {
    name: 'army',
    who: 'asker',
    options: desk,
    async show(page) {
      await page.goto('/rosters')
      await page.getByRole('link', { name: 'Both banks' }).click()
      await page.getByText('Proven: no other choice').waitFor()
    },
    from: (page) => page.locator('.page-head'),
    until: (page) => page.getByText('Next:').first(),
  },
  {
    name: 'answers',
    who: 'asker',
    options: desk,
    async show(page) {
      await page.goto('/')
      await page.getByRole('link', { name: '10 Fen Wardens' }).click()
      await page.locator('.answer').nth(3).waitFor()
    },
    until: (page) => page.locator('.answer').nth(3),
  },
  {
    name: 'wall',
    who: 'asker',
    options: desk,
    async show(page) {
      await page.goto('/units?q=fen+wardens')
      await page.getByRole('link', { name: 'Fen Wardens' }).first().click()
      await page.locator('.stand-in').nth(9).scrollIntoViewIfNeeded()
      await page.waitForLoadState('networkidle')
    },
    until: (page) => page.locator('.stand-in').nth(5),
  },
  {
    name: 'reporting',
    who: 'printer',
    options: { viewport: phone, colorScheme: 'dark' },
    async show(page) {
      await page.goto('/reports/new')
      await page.getByRole('link', { name: 'Called from the Hay' }).click()
      await page.getByRole('button', { name: 'One more: One side of the plate only' }).click()
    },
    until: (page) => page.locator('.seen .field').nth(3),
  },
  {
    name: 'verdict',
    who: 'printer',
    options: { viewport: phone, colorScheme: 'dark' },
    async show(page) {
      await page.goto('/reports/new')
      await page.getByRole('link', { name: 'Called from the Hay' }).click()
      await page.getByRole('button', { name: 'One more: One side of the plate only' }).click()
      await page.getByRole('button', { name: 'Send the report' }).click()
      await page.locator('.verdict-words').waitFor()
    },
    until: (page) => page.getByRole('link', { name: 'How that is done' }),
  },
  {
    name: 'printer',
    who: 'ilka',
    options: desk,
    async show(page) {
      await page.goto('/printers')
      await page.getByRole('link', { name: 'Duckboard' }).click()
      await page.getByRole('heading', { name: 'Success by upkeep' }).waitFor()
    },
    from: (page) => page.locator('.page-head'),
    until: (page) =>
      page.getByRole('table', { name: 'Success of the machine by upkeep period' }).getByRole('row').nth(3),
  },
  {
    name: 'file',
    who: 'asker',
    options: desk,
    async show(page) {
      await page.goto('/files?q=reed+sentries')
      await page.getByRole('link', { name: 'Reed Sentries' }).click()
      await page.locator('#chances').scrollIntoViewIfNeeded()
      await page.waitForLoadState('networkidle')
    },
    from: (page) => page.locator('#chances'),
    until: (page) => page.getByText('How full, and why it matters'),
  },
]

const database = await openDatabase({ dataDir: 'memory' })
await migrate(database.db)
await fillDemo(database.db)
const served = await serve(database.db)
const browser = await openBrowser()
try {
  await mkdir(folder, { recursive: true })
  for (const picture of pictures) await take(picture)
} finally {
  await browser.close()
  await served.close()
  await database.close()
}

async function take({ name, who, options, show, from, until }: Picture): Promise<void> {
  const { page } = await visit(browser, served.url, { deviceScaleFactor: 1, ...options })
  await signInAs(page, served.url, who)
  await show(page)
  const width = page.viewportSize()?.width ?? 0
  const scrolled = await page.evaluate(() => window.scrollY)
  const begin = await from?.(page).boundingBox()
  const end = await until(page).boundingBox()
  if (!end) throw new Error(`${name}: what it should end with is out of sight`)
  const y = begin ? Math.floor(begin.y + scrolled) - margin : 0
  const height = Math.ceil(end.y + scrolled + end.height) + margin - y
  const path = join(folder, `${name}.png`)
  // In one piece: what is below the window is painted as well.
  await page.screenshot({ path, clip: { x: 0, y, width, height }, fullPage: true })
  const { size } = await stat(path)
  console.log(`${name}.png: ${width} x ${height} px, ${size} bytes`)
  if (size > mostBytes) process.exitCode = 1
  await page.context().close()
}
