import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import type { Measure } from '../../web/mesh/measure.ts'
import type { measure } from '../../web/mesh/measuring.ts'
import { openBrowser } from './browser.ts'
import { type MeshPage, serveMeshPage } from './mesh-page.ts'

declare global {
  interface Window {
    measure: typeof measure
  }
}

let browser: Browser
let served: MeshPage
let outDir: string
let page: Page
let complaints: string[]
/** What the page asked for, in order. */
let asked: string[]

beforeAll(async () => {
  outDir = await mkdtemp(join(tmpdir(), 'mesh-'))
  served = await serveMeshPage(outDir)
  browser = await openBrowser()
})
afterAll(async () => {
  await served?.close()
  await rm(outDir, { recursive: true, force: true })
})
beforeEach(async () => {
  ;[complaints, asked] = [[], []]
  const context = await browser.newContext()
  page = await context.newPage()
  page.on('pageerror', (error) => complaints.push(String(error)))
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().includes('404')) complaints.push(message.text())
  })
  page.on('request', (request) => asked.push(`${request.method()} ${new URL(request.url()).pathname}`))
  await page.goto(served.url)
})
afterEach(async () => {
  await page.context().close()
  // Whatever the Content-Security-Policy refused is told here.
  expect(complaints).toEqual([])
})

/** A pyramid on a square with an edge of 10 mm and as high, as ASCII STL. */
const pyramid = (() => {
  const [a, b, c, d, top] = ['0 0 0', '10 0 0', '10 10 0', '0 10 0', '5 5 10']
  const triangles = [
    [a, c, b],
    [a, d, c],
    [a, b, top],
    [b, c, top],
    [c, d, top],
    [d, a, top],
  ]
  const facets = triangles.map(
    (corners) =>
      `facet normal 0 0 0\nouter loop\n${corners.map((corner) => `vertex ${corner}\n`).join('')}endloop\nendfacet\n`,
  )
  return `solid pyramid\n${facets.join('')}endsolid pyramid\n`
})()

interface Outcome {
  measure?: Measure
  refused?: string
  heard: [number, string][]
  /** The longest task of the page meanwhile, ms; 0 when none was longer than 50 ms. */
  longestTaskMs: number
}

/** Measures in the page. @param abortAfter so many words of progress */
const measureIn = (files: { name: string; text: string; times?: number }[], abortAfter = Infinity): Promise<Outcome> =>
  page.evaluate(
    async ({ files, worker, abortAfter }) => {
      const blobs = files.map(({ name, text, times = 1 }) => new File(Array(times).fill(text), name))
      const outcome: Outcome = { heard: [], longestTaskMs: 0 }
      // Making the files is not what is looked at.
      await new Promise((resolve) => setTimeout(resolve, 100))
      const watch = new PerformanceObserver((list) => {
        for (const { duration } of list.getEntries()) outcome.longestTaskMs = Math.max(outcome.longestTaskMs, duration)
      })
      watch.observe({ type: 'longtask' })
      const abort = new AbortController()
      try {
        outcome.measure = await window.measure(
          blobs,
          { worker, unit: 'mm', layerUm: 50 },
          (share, doing) => {
            if (outcome.heard.push([share, doing]) >= abortAfter) abort.abort(new Error('enough'))
          },
          abort.signal,
        )
      } catch (error) {
        outcome.refused = String(error)
      }
      await new Promise((resolve) => setTimeout(resolve, 100))
      watch.disconnect()
      return outcome
    },
    { files, worker: served.worker, abortAfter },
  )

test('a file is measured in the worker, and nothing is sent', async () => {
  const { measure, heard, refused } = await measureIn([{ name: 'pyramid.stl', text: pyramid }])
  expect(refused).toBeUndefined()
  expect(measure).toMatchObject({
    widthMm: 10,
    depthMm: 10,
    heightMm: 10,
    shells: 1,
    openEdges: 0,
    midAir: [],
    layerUm: 50,
  })
  expect(measure?.volumeMl).toBeCloseTo(1 / 3, 6)
  expect(heard[0]).toEqual([0, 'Reading pyramid.stl'])
  expect(heard.map(([share]) => share)).toEqual(heard.map(([share]) => share).toSorted((one, other) => one - other))
  expect(asked).toEqual(['GET /', 'GET /script.js', `GET ${served.worker}`])
})
