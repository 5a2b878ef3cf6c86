import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { laidOver, pxPerMm } from '../../../server/features/printing/pictures/laid-over.ts'
import { startGroup } from '../../support/app.ts'
import { aFile, aUnit, made } from '../../support/catalogue.ts'
import { aJpeg, asFile, sendPictures } from '../../support/pictures.ts'

const whole = { width: 1600, height: 1200 }
const round = (widthMm: number) => ({ shape: 'round' as const, widthMm })

// Worked by hand: similar figures, and the rotation of the line from the first mark to the second.
describe('a base laid over a picture', () => {
  const level = { x1: 25, y1: 75, x2: 75, y2: 75, widthMm: 25, depth: 40 }

  test('is to the scale of the marked one', () => {
    expect(pxPerMm(whole, level)).toBe(32)
    expect(laidOver(whole, level, round(25))).toEqual({ cx: 800, cy: 900, rx: 400, ry: 160, turned: 0 })
    expect(laidOver(whole, level, round(40)).rx).toBe(640)
  })

  test('has its longer side along the marks', () => {
    const oval = { shape: 'oval' as const, widthMm: 30, lengthMm: 60 }
    expect(laidOver(whole, { ...level, depth: 100 }, oval)).toMatchObject({ rx: 960, ry: 480 })
  })

  test('is turned with them, in pixels that are as wide as high', () => {
    // 300 to the right and 400 down: 500 (3, 4, 5).
    const marked = { x1: 0, y1: 0, x2: 18.75, y2: 100 / 3, widthMm: 50, depth: 100 }
    expect(pxPerMm(whole, marked)).toBeCloseTo(10, 10)
    expect(laidOver(whole, marked, round(50)).turned).toBeCloseTo((Math.acos(3 / 5) * 180) / Math.PI, 10)
  })
})

describe('its page', () => {
  let group: Awaited<ReturnType<typeof startGroup>>
  beforeAll(async () => {
    group = await startGroup()
  })
  afterAll(() => group.close())

  const marks = { x1: '25', y1: '75', x2: '75', y2: '75', widthMm: '25', depth: '40' }

  async function shown() {
    const { ada } = group
    const base = { shape: 'round', widthMm: 40 }
    const unit = await aUnit(ada, { base })
    const file = await aFile(ada, { standsInFor: [unit.id], base: { shape: 'round', widthMm: 25 } })
    const answer = await sendPictures(ada, `/api/v1/files/${file.id}/photos`, [asFile(await aJpeg(1600, 1200))])
    const [picture] = made<{ items: { id: string }[] }>(answer).items
    return { unit, path: `/pictures/${picture?.id}/base`, id: picture?.id ?? '' }
  }

  test('draws it for any member, without a script and without keeping anything', async () => {
    const { path, unit, id } = await shown()
    const before = await group.ben.page(path)
    expect([before.statusCode, before.body.includes('laid-unit')]).toEqual([200, false])
    expect(before.body).toContain('value="25"')
    const { body } = await group.ben.page(`${path}?${new URLSearchParams(marks)}`)
    expect(body).toContain('rx="640"')
    expect(body).toContain(unit.name)
    expect((await group.ben.get(`/photos/${id}`)).json().base).toBeNull()
  })

  test('keeps the marks of whoever took the picture, for everybody', async () => {
    const { path, id } = await shown()
    expect((await group.ben.submit(path, marks)).statusCode).toBe(403)
    expect((await group.ada.submit(path, marks)).statusCode).toBe(303)
    expect((await group.ben.get(`/photos/${id}`)).json().base).toMatchObject({ x1: 25, widthMm: 25, depth: 40 })
    expect((await group.ben.page(path)).body).toContain('rx="640"')
  })

  test('says what is wrong with them, and keeps what was typed', async () => {
    const { path } = await shown()
    const same = await group.ada.submit(path, { ...marks, x2: '25' })
    expect([same.statusCode, same.body.includes('in the same place')]).toEqual([422, true])
    const odd = await group.ben.page(`${path}?${new URLSearchParams({ ...marks, widthMm: 'a thumb' })}`)
    expect([odd.statusCode, odd.body.includes('value="a thumb"')]).toEqual([422, true])
  })
})
