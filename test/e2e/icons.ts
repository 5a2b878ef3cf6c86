import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { chromium } from 'playwright-core'
import { chromiumAt } from './chromium.ts'

/*
 * Draws the icons of a home screen from icon.svg: `npx tsx test/e2e/icons.ts`. The one that a phone may cut to any shape has all
 * that matters within the middle four fifths of its width (W3C, Web Application Manifest, "safe zone").
 */
const here = join(import.meta.dirname, '../../web/icons')
const drawing = readFileSync(join(here, 'icon.svg'), 'utf8')
const cut = drawing.replace('viewBox="0 0 32 32"', 'viewBox="-4 -4 40 40"').replace('<rect ', '<rect x="-4" y="-4" ')
const wide = cut.replace('width="32" height="32"', 'width="40" height="40"')
const icons: [name: string, size: number, svg: string][] = [
  ['icon-192', 192, drawing],
  ['icon-512', 512, drawing],
  ['icon-180', 180, drawing],
  ['icon-maskable', 512, wide],
]

const browser = await chromium.launch({
  executablePath: chromiumAt() ?? '',
  args: ['--no-sandbox', '--disable-gpu'],
})
for (const [name, size, svg] of icons) {
  const page = await browser.newPage({ viewport: { width: size, height: size } })
  await page.setContent(`<style>body{margin:0}svg{display:block;width:100vw;height:100vh}</style>${svg}`)
  writeFileSync(join(here, `${name}.png`), await page.screenshot())
  await page.close()
}
await browser.close()
