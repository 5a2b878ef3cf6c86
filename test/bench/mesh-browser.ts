import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import type { measure } from '../../web/mesh/measuring.ts'
import { openBrowser } from '../e2e/browser.ts'
import { serveMeshPage } from '../e2e/mesh-page.ts'
import { cpuOfDescendants } from './descendants.ts'
import { figureStl } from './figure.ts'
import type { Line } from './measure.ts'
import type { MeshCase } from './mesh.ts'

/** No task of the page may take longer while the worker is at it. */
const longestTaskMs = 100

/** Measures each case in a worker of Chromium: processor time of all its processes, and time by the clock. */
export async function measureInBrowser(cases: readonly MeshCase[]): Promise<Line[]> {
  const folder = await mkdtemp(join(tmpdir(), 'bench-mesh-'))
  const served = await serveMeshPage(join(folder, 'assets'))
  const browser = await openBrowser()
  try {
    const lines: Line[] = []
    for (const { name, triangles, layerUm, goalS } of cases) {
      const path = join(folder, 'figure.stl')
      await writeFile(path, figureStl(triangles))
      const page = await browser.newPage()
      await page.goto(served.url)
      const before = cpuOfDescendants()
      const { seconds, longestMs } = await measureFile(page, path, served.worker, layerUm)
      lines.push(
        { what: `${name}, Chromium`, value: cpuOfDescendants() - before, unit: 's', goal: goalS },
        { what: '  by the clock', value: seconds, unit: 's' },
        { what: '  longest task of the page, 0 below 50 ms', value: longestMs, unit: 'ms', goal: longestTaskMs },
      )
      await page.close()
    }
    return lines
  } finally {
    await browser.close()
    await served.close()
    await rm(folder, { recursive: true })
  }
}

async function measureFile(page: Page, path: string, worker: string, layerUm: number | null) {
  await page.evaluate(() => document.body.append(Object.assign(document.createElement('input'), { type: 'file' })))
  await page.locator('input').setInputFiles(path)
  return page.evaluate(
    async ({ worker, layerUm }) => {
      const files = [...(document.querySelector('input')?.files ?? [])]
      let longestMs = 0
      const watch = new PerformanceObserver((list) => {
        for (const { duration } of list.getEntries()) longestMs = Math.max(longestMs, duration)
      })
      watch.observe({ type: 'longtask' })
      const began = performance.now()
      const { measure: measureIt } = window as unknown as { measure: typeof measure }
      await measureIt(files, { worker, unit: 'mm', layerUm }, () => {}, new AbortController().signal)
      const seconds = (performance.now() - began) / 1000
      await new Promise((resolve) => setTimeout(resolve, 200))
      watch.disconnect()
      return { seconds, longestMs }
    },
    { worker, layerUm },
  )
}
