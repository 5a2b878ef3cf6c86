import { createHash } from 'node:crypto'
import { readdirSync } from 'node:fs'
import { cp, mkdir, rm, writeFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type BuildOptions, build } from 'esbuild'
import { assetsAt, type Manifest } from './assets.ts'

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
      mesh: join(here, 'mesh/worker.ts'),
      style: join(here, 'styles/index.css'),
      ...Object.fromEntries(icons.map((icon) => [icon, join(here, `icons/${icon}.png`)])),
    },
    outdir: outDir,
    entryNames: '[name]-[hash]',
    bundle: true,
    assetNames: '[name]-[hash]',
    loader: { '.woff2': 'file', '.png': 'copy' },
    metafile: true,
    ...forBrowsers,
  })
  // What few pages need comes in files of its own, which the script asks for.
  const script = await build({
    entryPoints: { app: join(here, 'client/main.ts') },
    outdir: outDir,
    entryNames: '[name]-[hash]',
    chunkNames: '[name]-[hash]',
    bundle: true,
    splitting: true,
    metafile: true,
    ...forBrowsers,
  })
  const outputs = { ...metafile.outputs, ...script.metafile.outputs }
  const files = Object.keys(outputs).map((file) => basename(file))
  const manifest = {
    css: named(files, 'style', '.css'),
    js: named(files, 'app', '.js'),
    mesh: named(files, 'mesh', '.js'),
    fonts: files.filter((file) => file.endsWith('.woff2')),
    icon: named(files, 'icon-180', '.png'),
    app: await describeApp(outDir, files),
  }
  await buildWorker(outDir, manifest)
  await writeFile(join(outDir, 'manifest.json'), `${JSON.stringify(manifest, null, 2)}\n`)
  return manifest
}

const forBrowsers = {
  minify: true,
  format: 'esm',
  target: ['es2022', 'chrome109', 'firefox115', 'safari16'],
  logLevel: 'warning',
} satisfies BuildOptions

/** Drawn by test/e2e/icons.ts: for a list of apps, to be cut to whatever shape a phone gives them, and for a home screen. */
const icons = ['icon-192', 'icon-512', 'icon-maskable', 'icon-180']

/** What a phone is told that puts the service among its apps. @see W3C, Web Application Manifest */
async function describeApp(outDir: string, files: string[]): Promise<string> {
  const icon = (name: string, size: number, purpose: string) => ({
    src: named(files, name, '.png'),
    sizes: `${size}x${size}`,
    type: 'image/png',
    purpose,
  })
  const app = JSON.stringify({
    id: '/',
    name: 'Understudy',
    short_name: 'Understudy',
    description: 'Which file stands in for this unit, and what it really costs to get it onto the table.',
    start_url: '/printers',
    scope: '/',
    display: 'standalone',
    background_color: '#dde1dd',
    theme_color: '#dde1dd',
    icons: [icon('icon-192', 192, 'any'), icon('icon-512', 512, 'any'), icon('icon-maskable', 512, 'maskable')],
  })
  const file = `understudy-${createHash('sha256').update(app).digest('hex').slice(0, 8).toUpperCase()}.webmanifest`
  await writeFile(join(outDir, file), app)
  return file
}

/** The worker stands at an address of its own, which must not change; what it keeps is written into it, so that it changes. */
async function buildWorker(outDir: string, manifest: Manifest): Promise<void> {
  const { css, js, fonts } = assetsAt('/assets', manifest)
  await build({
    entryPoints: { 'service-worker': join(here, 'client/service-worker.ts') },
    outdir: outDir,
    bundle: true,
    define: { BUNDLES: JSON.stringify({ css, js, fonts }) },
    ...forBrowsers,
    format: 'iife',
  })
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
