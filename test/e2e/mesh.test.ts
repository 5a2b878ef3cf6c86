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
}

/** Measures in the page. @param abortAfter so many words of progress */
const measureIn = (files: { name: string; text: string; times?: number }[], abortAfter = Infinity): Promise<Outcome> =>
  page.evaluate(
    async ({ files, worker, abortAfter }) => {
      const blobs = files.map(({ name, text, times = 1 }) => new File(Array(times).fill(text), name))
      const outcome: Outcome = { heard: [] }
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

test('several parts are one figure', async () => {
  const other = pyramid.replaceAll(/vertex (\d+)/g, (_, x) => `vertex ${Number(x) + 20}`)
  const { measure } = await measureIn([
    { name: 'left.stl', text: pyramid },
    { name: 'right.stl', text: other },
  ])
  expect(measure).toMatchObject({ widthMm: 30, shells: 2, overlapping: false })
  expect(measure?.sha256s).toHaveLength(2)
})

test('what can’t be measured is refused in a sentence', async () => {
  const { refused } = await measureIn([{ name: 'pyramid.stl', text: pyramid.slice(0, 500) }])
  expect(refused).toBe('Refusal: pyramid.stl has no end: it was cut off.')
})

test('it can be stopped on its way', async () => {
  const { measure, refused, heard } = await measureIn([{ name: 'pyramid.stl', text: pyramid }], 2)
  expect(measure).toBeUndefined()
  expect(refused).toBe('Error: enough')
  expect(heard).toHaveLength(2)
})

test('a worker that is not there is told', async () => {
  const refused = await page.evaluate(async () => {
    const [options, signal] = [
      { worker: '/nowhere.js', unit: 'mm', layerUm: null } as const,
      new AbortController().signal,
    ]
    return window.measure([new File(['x'], 'a.stl')], options, () => {}, signal).catch(String)
  })
  expect(refused).toMatch(/could not be loaded/)
})

test('the page hands files over, but reads none, and is told no more than it can show', async () => {
  const read = await page.evaluate(() => {
    const counts = { read: 0 }
    for (const name of ['arrayBuffer', 'text', 'stream', 'slice'] as const) {
      const real = Blob.prototype[name] as () => unknown
      Object.assign(Blob.prototype, {
        [name](this: Blob, ...given: []) {
          counts.read++
          return real.apply(this, given)
        },
      })
    }
    Object.assign(window, { counts })
    return counts.read
  })
  expect(read).toBe(0)
  const { measure, heard } = await measureIn([{ name: 'pyramid.stl', text: pyramid, times: 200 }])
  expect(measure).toMatchObject({ shells: 1, overlapping: true })
  expect(await page.evaluate(() => (window as unknown as { counts: { read: number } }).counts.read)).toBe(0)
  expect(heard.length).toBeLessThan(100)
})
