import { readdirSync } from 'node:fs'
import { cp, mkdir, rm, writeFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import type { Manifest } from './assets.ts'

const here = import.meta.dirname

/**
 * Bundles what the browser gets, each file named after its content so that it may be kept for good, and writes
 * `manifest.json` beside them. The folder is emptied first: it holds nothing but this.
 */
export async function buildAssets({ outDir }: { outDir: string }): Promise<Manifest> {
  await rm(outDir, { recursive: true, force: true })
  await mkdir(outDir, { recursive: true })
  const { metafile } = await build({
    entryPoints: {
      app: join(here, 'client/main.ts'),
      mesh: join(here, 'mesh/worker.ts'),
      style: join(here, 'styles/index.css'),
    },
    outdir: outDir,
    entryNames: '[name]-[hash]',
    bundle: true,
    assetNames: '[name]-[hash]',
    loader: { '.woff2': 'file' },
    minify: true,
    format: 'esm',
    target: ['es2022', 'chrome109', 'firefox115', 'safari16'],
    metafile: true,
    logLevel: 'warning',
  })
  const files = Object.keys(metafile.outputs).map((file) => basename(file))
  const manifest = {
    css: named(files, 'style', '.css'),
    js: named(files, 'app', '.js'),
    mesh: named(files, 'mesh', '.js'),
    fonts: files.filter((file) => file.endsWith('.woff2')),
  }
  await writeFile(join(outDir, 'manifest.json'), `${JSON.stringify(manifest, null, 2)}\n`)
  return manifest
}

function named(files: string[], beginning: string, ending: string): string {
  const file = files.find((name) => name.startsWith(`${beginning}-`) && name.endsWith(ending))
  if (file === undefined) throw new Error(`the bundle has no ${beginning} file`)
  return file
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const outDir = join(here, '../dist/web/assets')
  await buildAssets({ outDir })
  await cp(join(here, '../db/demo/pictures'), join(here, '../dist/db/demo/pictures'), { recursive: true })
  await cp(join(here, 'texts'), join(here, '../dist/web/texts'), { recursive: true })
  console.log(`web: ${readdirSync(outDir).join(', ')}`)
}
