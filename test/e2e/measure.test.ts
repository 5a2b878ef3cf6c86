import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { openBrowser, phone } from './browser.ts'
import { Cast } from './cast.ts'
import { serveDemo } from './serve.ts'

let served: Awaited<ReturnType<typeof serveDemo>>
let browser: Browser
let cast: Cast

beforeAll(async () => {
  browser = await openBrowser()
  served = await serveDemo()
  // Nobody has measured anything yet.
  await served.db.deleteFrom('measure').execute()
})
afterEach(() => cast.leave())
afterAll(() => served.close())

type Corner = [x: number, y: number, z: number]

/** The twelve triangles of a box, facing outwards. */
function box([x0, y0, z0]: Corner, [x1, y1, z1]: Corner): Corner[][] {
  const [a, b, c, d]: Corner[] = [
    [x0, y0, z0],
    [x1, y0, z0],
    [x1, y1, z0],
    [x0, y1, z0],
  ] as [Corner, Corner, Corner, Corner]
  const [e, f, g, h] = [a, b, c, d].map((corner) => [corner?.[0], corner?.[1], z1]) as [Corner, Corner, Corner, Corner]
  const sides = [
    [a, d, c, b],
    [e, f, g, h],
    [a, b, f, e],
    [b, c, g, f],
    [c, d, h, g],
    [d, a, e, h],
  ] as [Corner, Corner, Corner, Corner][]
  return sides.flatMap(([p, q, r, s]) => [
    [p, q, r],
    [p, r, s],
  ])
}

/** Triangles as binary STL. @param unitMm length of the file's unit */
function stl(triangles: Corner[][], unitMm = 1): Buffer {
  const file = Buffer.alloc(84 + 50 * triangles.length)
  file.writeUInt32LE(triangles.length, 80)
  for (const [place, corners] of triangles.entries())
    for (const [at, number] of corners.flat().entries())
      file.writeFloatLE(number / unitMm, 84 + 50 * place + 12 + 4 * at)
  return file
}

/** 26 x 10 x 30 mm: a body with a head, and an arm from which a blade hangs down to 6 mm, held by nothing below. */
const figure = [
  ...box([-8, -5, 0], [8, 5, 20]),
  ...box([-4, -4, 20], [4, 4, 30]),
  ...box([8, -2, 15], [18, 2, 18]),
  ...box([15, -1, 6], [17, 1, 15]),
]

/** All that may leave the browser. */
const numbers = [
  ...['above', 'depthMm', 'front', 'heightMm', 'invertedShells', 'layerUm', 'midAir', 'nonManifoldEdges', 'openEdges'],
  ...[
    'overlapping',
    'sha256s',
    'shells',
    'side',
    'surfaceMm2',
    'volumeMl',
    'widestLayerAtMm',
    'widestLayerMm2',
    'widthMm',
  ],
]

const dropped = (name: string, buffer: Buffer) => ({ name, mimeType: 'model/stl', buffer })

/** Of the so-manieth file of the demo group: its newest revision's page, and its first support set. */
async function aRevisionOf(page: Page, place: number) {
  const api = page.context().request
  const { items } = await (await api.get(`${served.url}/api/v1/files?limit=9`)).json()
  const file = await (await api.get(`${served.url}/api/v1/files/${items[place].id}`)).json()
  const revision = file.revisions.at(-1)
  return { fileId: file.id, url: `/revisions/${revision.id}/measure`, set: revision.supportSets[0].id }
}

describe('measuring a file in the browser', () => {
  test('dropped, measured, kept: its shadow stands on its page, and nothing of the file was sent', async () => {
    cast = new Cast(browser, served.url)
    const page = await cast.page('asker')
    const { fileId, url } = await aRevisionOf(page, 0)
    const sent: string[] = []
    page.on('request', (request) => sent.push(request.postData() ?? ''))
    await page.goto(url)
    await page.getByLabel('Files').setInputFiles(dropped('figure.stl', stl(figure)))
    await page.getByRole('button', { name: 'Measure', exact: true }).click()
    await page.getByRole('heading', { name: 'What was found' }).waitFor()
    expect(await page.locator('.measure-size').textContent()).toBe('26 × 10 mm on the ground, 30 mm tall')
    // 3,200 + 640 + 120 + 36 mm³: the four boxes share no more than faces.
    expect(await page.getByRole('main').textContent()).toContain('4 ml of resin')
    await page.locator('#keep button').click()
    await page.getByText('The numbers are kept').waitFor()
    expect(page.url()).toContain(`/files/${fileId}`)
    const shadow = page.getByRole('img', { name: 'Its shadow, as measured' })
    expect(await shadow.isVisible()).toBe(true)
    const drawn = await shadow.locator('.shadow-body').evaluate((path: SVGGraphicsElement) => {
      const { width, height } = path.getBBox()
      return [Math.round(width), Math.round(height)]
    })
    expect(drawn).toEqual([26, 30])
    const posted = sent.filter(Boolean)
    expect(posted.length).toBeGreaterThan(0)
    for (const body of posted) {
      const { measured = '{}' } = Object.fromEntries(new URLSearchParams(body))
      expect(Object.keys(JSON.parse(measured)).toSorted()).toEqual(numbers)
      expect(body.length).toBeLessThan(20_000)
      expect(body).not.toContain('figure.stl')
    }
  })

  test('what begins in mid-air is marked, and one press fills a snag in', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('printer')
    const { fileId, url, set } = await aRevisionOf(page, 1)
    await page.goto(`${url}?supports=${set}`)
    await page.getByLabel('Files').setInputFiles(dropped('figure.stl', stl(figure)))
    await page.getByRole('button', { name: 'Measure', exact: true }).click()
    await page.getByText('one place begins in mid-air').waitFor()
    expect(await page.locator('.measured-mark').count()).toBe(1)
    await page.locator('#keep button').click()
    await page.getByText('1 place in mid-air').waitFor()
    await page.goto(`${url}?supports=${set}`)
    await page.getByRole('link', { name: 'Note it as a snag' }).click()
    expect(await page.getByLabel('What is wrong').inputValue()).toBe('unsupported part')
    expect(await page.getByLabel('Which part').inputValue()).toContain('6 mm up, right')
    await page.getByLabel('only looks').check()
    await page.getByRole('button', { name: 'Keep this snag' }).click()
    await page.getByText('The snag is noted.').waitFor()
    expect(page.url()).toContain(`/files/${fileId}`)
  })

  test('a size that does not fit is asked about; what cannot be read gets a sentence; cancelling is possible', async () => {
    cast = new Cast(browser, served.url)
    const page = await cast.page('asker')
    const { url } = await aRevisionOf(page, 2)
    await page.goto(url)
    const measure = page.getByRole('button', { name: 'Measure', exact: true })
    await page.getByLabel('Files').setInputFiles(dropped('broken.stl', Buffer.from('nothing of the kind')))
    await measure.click()
    await page.locator('form .hurdle').waitFor()
    expect(await page.locator('form .hurdle').textContent()).toContain('broken.stl')
    await page.getByLabel('Files').setInputFiles(dropped('figure.stl', stl(figure, 1000)))
    await measure.click()
    await page.getByText('This is 0.03 mm tall: metres?').waitFor()
    await page.getByRole('button', { name: 'Yes, in metres' }).click()
    await page.getByRole('heading', { name: 'What was found' }).waitFor()
    expect(await page.locator('.measure-size').textContent()).toBe('26 × 10 mm on the ground, 30 mm tall')
    expect(await page.getByRole('link', { name: 'Note it as a snag' }).count()).toBe(0)
  })

  test('in the form that adds a file, where it fills in what is empty', async () => {
    cast = new Cast(browser, served.url, { viewport: phone })
    const page = await cast.page('asker')
    await page.goto('/files/new')
    await page.getByLabel('Title').fill('Hook Carriers')
    await page.getByRole('combobox', { name: 'Name' }).fill('Anybody At All')
    await page.getByText('Measure the file here').click()
    await page.getByLabel('Files').setInputFiles(dropped('figure.stl', stl(figure)))
    await page.getByLabel('The file holds').selectOption('as supplied')
    await page.getByRole('button', { name: 'Measure', exact: true }).click()
    await page.getByText('The numbers go with this form: send it to keep them.').waitFor()
    expect(await page.getByLabel('Resin for one copy').inputValue()).toBe('4.00')
    await page.getByRole('button', { name: 'Keep this file' }).click()
    await page.getByText('The file is added.').waitFor()
    expect(await page.getByRole('img', { name: 'Its shadow, as measured' }).isVisible()).toBe(true)
    expect(await page.getByRole('main').textContent()).toContain('1 place in mid-air')
  })

  test('without scripts the page offers fields instead', async () => {
    cast = new Cast(browser, served.url, { javaScriptEnabled: false })
    const page = await cast.page('asker')
    const { url } = await aRevisionOf(page, 3)
    await page.goto(url)
    expect(await page.locator('input[type="file"]').isVisible()).toBe(false)
    await page.getByText('Type the numbers instead').click()
    expect(await page.getByText('A shadow can’t be typed: that needs a script in your browser.').isVisible()).toBe(true)
    for (const [label, value] of [
      ['Width', '24'],
      ['Depth', '18'],
      ['Height', '36'],
    ] as const)
      await page.getByRole('textbox', { name: label }).fill(value)
    await page.getByRole('button', { name: 'Keep what I typed' }).click()
    await page.getByText('The numbers are kept').waitFor()
    expect(await page.getByRole('main').textContent()).toContain('24 × 18 mm on the ground, 36 mm tall')
  })
})
