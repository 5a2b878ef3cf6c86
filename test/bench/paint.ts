import type { Page } from 'playwright-core'
import { openBrowser, phone, signInAs, visit } from '../e2e/browser.ts'
import { fillDemo, serve } from '../e2e/serve.ts'
import { onServer } from './group.ts'
import { met, quantileOf } from './measure.ts'

/*
 * When the largest thing of a page is painted on a phone with a poor line, with nothing in the browser's store and again
 * with style sheet, script and typefaces kept from the visit before. `npm run bench -- paint [visits]`
 */

/**
 * "Slow 4G" as Chromium's developer tools call it: 1.6 Mbit/s down and .75 up, a tenth of which they take off, and 150 ms,
 * of which they make 562.5 (front_end/core/sdk/NetworkManager.ts; from memory).
 */
const slow4g = { offline: false, latency: 562.5, downloadThroughput: 180_000, uploadThroughput: 84_375 }
const slowerBy = 4
const mostMs = 1500

/** @returns whether the goals are met */
export async function benchPaint([visits = '5']: string[]): Promise<boolean> {
  return onServer(async (db) => {
    await fillDemo(db)
    const { url, close } = await serve(db)
    const browser = await openBrowser()
    try {
      const wardens = await db
        .selectFrom('unit')
        .select('id')
        .where('name', '=', 'Fen Wardens')
        .executeTakeFirstOrThrow()
      const isMet: boolean[] = []
      for (const path of [`/units/${wardens.id}`, '/units', '/files']) {
        const first: number[] = []
        const again: number[] = []
        for (let turn = 0; turn < Number(visits); turn++) {
          const { page } = await visit(browser, url, { viewport: phone, isMobile: true, deviceScaleFactor: 2 })
          await signInAs(page, url, 'asker')
          await hinder(page)
          first.push(await paintedAt(page, path))
          again.push(await paintedAt(page, path))
          await page.context().close()
        }
        const name = path.replace(wardens.id, ':id')
        for (const [when, painted] of [
          ['nothing kept', first],
          ['style sheet and typefaces kept', again],
        ] as const) {
          const what = `${name}: largest paint, ${when}`
          isMet.push(met({ what, value: quantileOf(painted, 0.5), unit: 'ms', goal: mostMs }))
        }
      }
      return isMet.every(Boolean)
    } finally {
      await browser.close()
      await close()
    }
  })
}

async function hinder(page: Page): Promise<void> {
  const devtools = await page.context().newCDPSession(page)
  await devtools.send('Network.enable')
  await devtools.send('Network.emulateNetworkConditions', slow4g)
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: slowerBy })
}

/** Milliseconds from asking for the page to its largest paint, as the browser tells it. */
async function paintedAt(page: Page, path: string): Promise<number> {
  await page.goto(path, { waitUntil: 'networkidle' })
  return page.evaluate(
    () =>
      new Promise<number>((done) => {
        new PerformanceObserver((list) => done(list.getEntries().at(-1)?.startTime ?? Number.NaN)).observe({
          type: 'largest-contentful-paint',
          buffered: true,
        })
      }),
  )
}
