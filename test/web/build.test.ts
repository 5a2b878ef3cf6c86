import { mkdtemp, readdir, readFile, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { assetsAt } from '../../web/assets.ts'
import { buildAssets } from '../../web/build.ts'

let outDir: string
beforeAll(async () => {
  outDir = await mkdtemp(join(tmpdir(), 'assets-'))
})
afterAll(() => rm(outDir, { recursive: true, force: true }))

test('the bundles are named after their content and listed in the manifest', async () => {
  const manifest = await buildAssets({ outDir })
  expect(manifest.css).toMatch(/^style-[A-Z0-9]{8}\.css$/)
  expect(manifest.js).toMatch(/^app-[A-Z0-9]{8}\.js$/)
  expect(manifest.mesh).toMatch(/^mesh-[A-Z0-9]{8}\.js$/)
  expect(await readdir(outDir)).toEqual(
    expect.arrayContaining([manifest.css, manifest.js, manifest.mesh, 'manifest.json']),
  )
  expect(JSON.parse(await readFile(join(outDir, 'manifest.json'), 'utf8'))).toEqual(manifest)
  expect(assetsAt('/assets', manifest).css).toBe(`/assets/${manifest.css}`)
})

test('the same sources give the same names, and nothing older is left behind', async () => {
  const first = await buildAssets({ outDir })
  const files = (await readdir(outDir)).toSorted()
  expect(await buildAssets({ outDir })).toEqual(first)
  expect((await readdir(outDir)).toSorted()).toEqual(files)
})

test('the typefaces are files of our own, under 120 kB together, and are listed', async () => {
  const { fonts } = await buildAssets({ outDir })
  const files = (await readdir(outDir)).filter((file) => file.endsWith('.woff2'))
  expect(files.toSorted()).toEqual(fonts.toSorted())
  expect(fonts).toHaveLength(4)
  const sizes = await Promise.all(files.map(async (file) => (await stat(join(outDir, file))).size))
  expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(120_000)
})

test('the style sheet asks nobody else for anything', async () => {
  const { css } = await buildAssets({ outDir })
  const sheet = await readFile(join(outDir, css), 'utf8')
  expect(sheet).not.toMatch(/@import|https?:|url\("?(\/\/|data:)/)
  for (const [, file = ''] of sheet.matchAll(/url\("?([^")]+)/g))
    expect(await readdir(outDir)).toContain(file.replace('./', ''))
})

test('a page does not carry what measures meshes, and the worker builds no code from text, which the policy forbids', async () => {
  const { js, mesh } = await buildAssets({ outDir })
  const [page, worker] = await Promise.all([js, mesh].map((file) => readFile(join(outDir, file), 'utf8')))
  expect(worker).toContain('BufferGeometry')
  expect(page).not.toContain('BufferGeometry')
  expect(worker).not.toMatch(/\beval\(|new Function\(|importScripts|WebAssembly/)
})

test('what draws a form’s picture comes to the pages that have one', async () => {
  const { js } = await buildAssets({ outDir })
  const files = await readdir(outDir)
  const page = await readFile(join(outDir, js), 'utf8')
  const [, drawing = ''] = /import\("\.\/(described-[A-Z0-9]{8}\.js)"\)/.exec(page) ?? []
  expect(files).toContain(drawing)
  expect(await readFile(join(outDir, drawing), 'utf8')).toContain('shadow-ruler')
  expect(page).not.toContain('shadow-ruler')
})

test('the worker is written at an address that stays, with the bundles of this build in it', async () => {
  const manifest = await buildAssets({ outDir })
  const worker = await readFile(join(outDir, 'service-worker.js'), 'utf8')
  for (const file of [manifest.css, manifest.js, ...manifest.fonts]) expect(worker).toContain(`/assets/${file}`)
})

test('a phone is told what to put on its home screen', async () => {
  const manifest = await buildAssets({ outDir })
  const app = JSON.parse(await readFile(join(outDir, manifest.app), 'utf8'))
  expect(app).toMatchObject({ start_url: '/printers', scope: '/', display: 'standalone' })
  const files = await readdir(outDir)
  for (const { src, sizes } of app.icons as { src: string; sizes: string }[]) {
    expect(files).toContain(src)
    // PNG, 11.2.2: width and height stand at bytes 16 and 20.
    const png = await readFile(join(outDir, src))
    expect(`${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`).toBe(sizes)
  }
})
