import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises'
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
  expect((await readdir(outDir)).toSorted()).toEqual([...Object.values(manifest), 'manifest.json'].toSorted())
  expect(JSON.parse(await readFile(join(outDir, 'manifest.json'), 'utf8'))).toEqual(manifest)
  expect(assetsAt('/assets', manifest).css).toBe(`/assets/${manifest.css}`)
})

test('the same sources give the same names, and nothing older is left behind', async () => {
  const first = await buildAssets({ outDir })
  expect(await buildAssets({ outDir })).toEqual(first)
  expect(await readdir(outDir)).toHaveLength(4)
})

test('the style sheet asks nobody else for anything', async () => {
  const { css } = await buildAssets({ outDir })
  const sheet = await readFile(join(outDir, css), 'utf8')
  expect(sheet).not.toMatch(/url\(|@import|https?:/)
})

test('a page does not carry what measures meshes, and the worker builds no code from text, which the policy forbids', async () => {
  const { js, mesh } = await buildAssets({ outDir })
  const [page, worker] = await Promise.all([js, mesh].map((file) => readFile(join(outDir, file), 'utf8')))
  expect(worker).toContain('BufferGeometry')
  expect(page).not.toContain('BufferGeometry')
  expect(worker).not.toMatch(/\beval\(|new Function\(|importScripts|WebAssembly/)
})
