import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { brotliDecompressSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { thinned } from '../../../server/features/catalogue/measures/drawn.ts'
import { buildAssets } from '../../../web/build.ts'
import type { Outline } from '../../../web/parts/outline.ts'
import { type Person, startGroup } from '../../support/app.ts'
import { aFile, aMeasure, aUnit } from '../../support/catalogue.ts'

const points = 240

/** A ragged figure of 24 x 36 mm in as many points as a measure may have; no two are alike. */
function ragged(turn: number): Outline {
  const rough = (index: number) =>
    0.82 + 0.12 * Math.sin(index * 7.3 + turn) + 0.06 * Math.sin(index * 1.7 * (turn + 1))
  return [
    Array.from({ length: points }, (_, index): [number, number] => {
      const angle = (2 * Math.PI * index) / points
      return [12 + 12 * rough(index) * Math.cos(angle), 18 + 18 * rough(index) * Math.sin(angle)]
    }),
  ]
}

describe('the wall of a unit with forty measured stand-ins', () => {
  const folder = mkdtempSync(join(tmpdir(), 'understudy-wall-'))
  let ada: Person
  let close: () => Promise<void>
  let unit: { id: string }
  const files: { id: string }[] = []

  beforeAll(async () => {
    const assets = { folder, manifest: await buildAssets({ outDir: folder }) }
    ;({ ada, close } = await startGroup({ assets }))
    unit = await aUnit(ada, { base: { shape: 'round', widthMm: 25 } })
    for (let turn = 0; turn < 40; turn++) {
      const revision = { label: '1' }
      const file = await aFile(ada, {
        standsInFor: [unit.id],
        scaleMm: 28,
        base: { shape: 'round', widthMm: 25 },
        revision,
      })
      await aMeasure(ada, `/revisions/${file.revisions[0]?.id}`, { front: ragged(turn) })
      files.push(file)
    }
  })
  afterAll(async () => {
    await close()
    rmSync(folder, { recursive: true, force: true })
  })

  const packed = (url: string) =>
    ada.app.inject({
      url,
      headers: { cookie: ada.cookie ?? '', 'accept-encoding': 'br', 'sec-fetch-site': 'same-origin' },
    })

  test('is under 150 kB on the line: page, style sheet and script', async () => {
    const page = await packed(`/units/${unit.id}`)
    const html = brotliDecompressSync(page.rawPayload).toString()
    const linked = [...html.matchAll(/(?:href|src)="(\/assets\/[^"]+\.(?:css|js))"/g)].map(([, path = '']) => path)
    expect(linked).toHaveLength(2)
    const answers = [page, ...(await Promise.all(linked.map(packed)))]
    expect(answers.map((one) => [one.statusCode, one.headers['content-encoding']])).toEqual(Array(3).fill([200, 'br']))
    const bytes = answers.map(({ rawPayload }) => rawPayload.length)
    expect(
      bytes.reduce((sum, one) => sum + one),
      `page, style, script: ${bytes}`,
    ).toBeLessThan(150_000)
    // All forty are drawn by what was measured, one at a place and one scale.
    const wall = html.slice(html.indexOf('class="wall"'))
    const bodies = [...wall.matchAll(/<path class="shadow-body"[^>]* d="([^"]+)"/g)].map(([, path = '']) => path)
    expect(bodies).toHaveLength(40)
    expect(new Set(bodies).size).toBe(40)
    for (const path of bodies) expect(path.split('L').length).toBeLessThan(points)
    for (const { id } of files) expect(html).toContain(`href="/files/${id}"`)
  })
})

describe('an outline for a small drawing', () => {
  const drawn = (front: Outline) => ({ shadow: { front, widthMm: 24, heightMm: 36 } })
  const away = ([x, y]: readonly number[], [ax, ay]: readonly number[], [bx, by]: readonly number[]) => {
    const [dx, dy] = [Number(bx) - Number(ax), Number(by) - Number(ay)]
    const along = Math.min(
      1,
      Math.max(0, ((Number(x) - Number(ax)) * dx + (Number(y) - Number(ay)) * dy) / (dx * dx + dy * dy || 1)),
    )
    return Math.hypot(Number(x) - Number(ax) - along * dx, Number(y) - Number(ay) - along * dy)
  }

  test.each([1, 2.9, 10])(
    'leaves no point of the measured one more than half a pixel off, at %d px a mm',
    (pxPerMm) => {
      const front = ragged(3)
      const thin = thinned(drawn(front), pxPerMm).shadow?.front[0] ?? []
      expect(thin.length).toBeGreaterThan(2)
      for (const point of front[0] ?? []) {
        const off = Math.min(...thin.map((from, index) => away(point, from, thin[(index + 1) % thin.length] ?? from)))
        expect(off * pxPerMm).toBeLessThanOrEqual(0.5 + 1e-9)
      }
    },
  )

  test('drops a hole that is not seen, and keeps what has no outline as it is', () => {
    const hole: Outline[number] = [
      [5, 5],
      [5.1, 5],
      [5.1, 5.1],
    ]
    expect(thinned(drawn([...ragged(1), hole]), 1).shadow?.front).toHaveLength(1)
    expect(thinned({ shadow: null, title: 'A' }, 1)).toEqual({ shadow: null, title: 'A' })
  })
})
