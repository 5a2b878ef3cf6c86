import { afterAll, describe, expect, test } from 'vitest'
import { startGroup } from '../../support/app.ts'
import { aMeasure, aRevision, aSnag, aUnit, measureBody } from '../../support/catalogue.ts'
import { aPrintable } from '../../support/printing.ts'

const { odile, ada, ben, close } = await startGroup()
afterAll(close)

const wordsOf = ({ body }: { body: string }) =>
  body
    .replace(/<(?:style|script)[^>]*>.*?<\/(?:style|script)>/gs, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&#39;', "'")
    .replace(/\s+/g, ' ')
    .replace(/ ([.,:])/g, '$1')
const asked = (over = {}) => ({ measured: JSON.stringify(measureBody(over)) })
const nobody = '01a1f0c2-6f4e-7b3a-9c55-2f6d1e0a7b31'

describe('the page that measures', () => {
  test('says first that nothing but numbers leaves the browser, and takes what can be typed', async () => {
    const { revisionId, supportSetId, fileId } = await aPrintable(ada)
    const page = await ada.page(`/revisions/${revisionId}/measure?supports=${supportSetId}`)
    expect(wordsOf(page)).toContain('Nothing but the numbers leaves it; the file itself is never sent.')
    // A field without a name sends nothing.
    expect(/<input[^>]*type="file"[^>]*>/.exec(page.body)?.[0]).not.toContain('name=')
    const url = `/revisions/${revisionId}/measure`
    const refused = await ada.submit(url, { widthMm: '24', depthMm: 'eighteen', heightMm: '36', volumeMl: '' })
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('value="eighteen"')
    const kept = await ada.submit(url, { widthMm: '24', depthMm: '18,5', heightMm: '36', volumeMl: '' })
    expect(kept.headers.location).toBe(`/files/${fileId}?said=measured-height#revisions`)
    expect((await ada.get(url)).json()).toMatchObject({ depthMm: 18.5, volumeMl: null, front: null })
    const file = wordsOf(await ada.page(`/files/${fileId}`))
    expect(file).toContain(
      '24 × 18.5 mm on the ground, 36 mm tall. As measured by Ada, today: first release, without supports.',
    )
  })

  test('tells what was found before it is kept: size, resin, shells and holes in plain words', async () => {
    const { revisionId, fileId } = await aPrintable(ada)
    const holes = { openEdges: 2, nonManifoldEdges: 1, invertedShells: 1, overlapping: true }
    const found = await ben.submit(`/revisions/${revisionId}/measure/found`, asked(holes))
    expect(found.statusCode).toBe(200)
    const words = wordsOf(found)
    expect(words).toContain('24 × 18 mm on the ground, 36 mm tall')
    expect(words).toContain('at most 4.1 ml of resin, widest layer 240 mm² at 2.5 mm, without supports.')
    expect(words).toContain('2 open edges: your slicer may fill them.')
    expect(words).toContain('1 edge where more than two faces meet')
    expect(words).toContain('1 shell is inside out')
    expect(words).toContain('the volume is the most it can be')
    expect(found.body).toContain('M0 0') // the shadow's first ring
    expect((await ben.get(`/revisions/${revisionId}/measure`)).statusCode).toBe(404)
    const [, text = ''] = /name="measured" value="(\{[^"]*)"/.exec(found.body) ?? []
    const kept = await ben.submit(`/revisions/${revisionId}/measure`, { measured: text.replaceAll('&quot;', '"') })
    expect(kept.headers.location).toBe(`/files/${fileId}?said=measured-height#revisions`)
    expect((await ben.get(`/revisions/${revisionId}/measure`)).json()).toMatchObject(measureBody(holes))
  })

  test('refuses numbers that are none, that cannot be true, or that are somebody else’s to replace', async () => {
    const { revisionId } = await aPrintable(ada)
    const url = `/revisions/${revisionId}/measure`
    for (const measured of ['', 'solid cube', '[]', '{"widthMm":1}', JSON.stringify(measureBody({ volumeMl: 99 }))])
      for (const at of [`${url}/found`, url]) {
        const refused = await ada.submit(at, { measured })
        expect(refused.statusCode, `${at} ${measured}`).toBe(422)
        expect(wordsOf(refused)).toMatch(/to correct before/)
      }
    await aMeasure(ada, `/revisions/${revisionId}`)
    expect((await ben.submit(url, asked())).statusCode).toBe(403)
    const told = wordsOf(await ben.submit(`${url}/found`, asked()))
    expect(told).toContain('Ada has measured it before; only they or a steward')
    expect(told).not.toContain('Keep these numbers')
    expect((await ben.submit(`${url}/remove`, {})).statusCode).toBe(403)
    expect((await ada.submit(`${url}/remove`, {})).headers.location).toMatch(/said=measure-removed/)
  })

  test('is of a revision that is there, with supports that are its own', async () => {
    const [one, other] = [await aPrintable(ada), await aPrintable(ada)]
    for (const url of [
      `/revisions/${nobody}/measure`,
      `/revisions/${one.revisionId}/measure?supports=${other.supportSetId}`,
      `/revisions/${one.revisionId}/measure?supports=${nobody}`,
    ]) {
      expect((await ada.page(url)).statusCode).toBe(404)
      expect((await ada.submit(url, asked())).statusCode).toBe(404)
    }
  })

  test('fills a file that does not say; a supported one replaces what came from one without', async () => {
    const unit = await aUnit(ada, { scaleMm: 32 })
    const { fileId, revisionId, supportSetId } = await aPrintable(ada, {
      resinMl: null,
      scaleMm: 28,
      standsInFor: [unit.id],
    })
    const url = `/revisions/${revisionId}/measure`
    const bare = await ben.submit(url, asked())
    expect(bare.headers.location).toContain('said=measured-both')
    expect(wordsOf(await ben.page(`/files/${fileId}`))).toContain('4.1 ml a copy, as measured without supports')
    expect(wordsOf(await ben.page(url))).toContain('Resized from 28 to 32 mm: 41.1 mm tall and 6.1 ml.')
    const supported = await ben.submit(`${url}?supports=${supportSetId}`, asked({ heightMm: 42, volumeMl: 5.5 }))
    expect(supported.headers.location).toContain('said=measured-both')
    const file = await ben.page(`/files/${fileId}`)
    expect(wordsOf(file)).toContain('5.5 ml a copy, supports included')
    expect((await ben.get(`/files/${fileId}`)).json()).toMatchObject({ resinMl: 5.5, heightMm: 42 })
    // Beside its shadow stands how tall that one is, and no other height.
    expect(wordsOf(file).match(/[\d.]+ mm tall/g)).toEqual(['36 mm tall'])
  })
})

describe('the parts’ SHA-256 tell', () => {
  const [first, second, strange] = ['1', '2', '3'].map((digit) => digit.repeat(64)) as [string, string, string]

  test('which revision they are of, and what was mended since', async () => {
    const { fileId, revisionId } = await aPrintable(ada)
    await aMeasure(ada, `/revisions/${revisionId}`, { sha256s: [first] })
    const later = await aRevision(ada, fileId, { label: 'sturdier spears', releasedOn: '2025-05-12', sha256: second })
    const snag = await aSnag(ada, fileId, revisionId)
    await ada.patch(`/snags/${snag.id}`, { state: 'mended', mendedInRevisionId: later.id })
    const at = (id: string) => `/revisions/${id}/measure/found`
    const old = wordsOf(await ada.submit(at(later.id), asked({ sha256s: [first] })))
    expect(old).toContain('By its SHA-256 it is first release. sturdier spears is newer, and a snag was mended since.')
    expect(old).toContain('Keep it with first release')
    const same = wordsOf(await ada.submit(at(later.id), asked({ sha256s: [second, strange] })))
    expect(same).toContain('By its SHA-256 it is this revision, sturdier spears of 12 May 2025.')
    expect(same).not.toContain('It is a new revision')
    // What is kept does not vouch for itself.
    expect(wordsOf(await ada.page(`/revisions/${revisionId}/measure`))).not.toContain('By its SHA-256')
    const unknown = wordsOf(await ada.submit(at(later.id), asked({ sha256s: [strange] })))
    expect(unknown).toContain('The group knows no revision of this file with this SHA-256.')
    expect(unknown).toContain('It is a new revision')
  })

  test('and what is new becomes a revision with its supports', async () => {
    const { fileId, revisionId, supportSetId } = await aPrintable(ada)
    const url = `/revisions/${revisionId}/measure?supports=${supportSetId}`
    const kept = await ben.submit(url, { ...asked({ sha256s: [strange] }), label: 'third' })
    expect(kept.statusCode).toBe(303)
    const { revisions, measures } = (await ben.get(`/files/${fileId}`)).json()
    const made = revisions.find(({ label }: { label: string }) => label === 'third')
    expect(made.supportSets).toMatchObject([{ kind: 'as supplied' }])
    expect(measures).toMatchObject([{ revisionId: made.id, supportSetId: made.supportSets[0].id, sha256s: [strange] }])
    const again = await ben.submit(url, { ...asked(), label: 'third' })
    expect(again.statusCode).toBe(422)
    expect(wordsOf(again)).toContain('The file already has a revision with this label.')
  })
})

describe('what begins in mid-air', () => {
  const start = (xMm: number, areaMm2: number) => ({ heightMm: 20, xMm, yMm: 17, areaMm2 })

  test('is listed as a hint, the largest first, marked on the shadow, and one press fills a snag in', async () => {
    const { fileId, revisionId, supportSetId } = await aPrintable(ada)
    const starts = { midAir: [start(2, 0.4), start(22, 1.5)], layerUm: 50 }
    const url = `/revisions/${revisionId}/measure?supports=${supportSetId}`
    await ada.submit(url, asked(starts))
    const page = await odile.page(url)
    const words = wordsOf(page)
    expect(words).toContain('In layers of 50 µm 2 places begin in mid-air. That is a hint, not a verdict')
    expect(words).toMatch(/1 20 mm right, at the back 1.5 mm² .*2 20 mm left, at the back 0.4 mm²/)
    expect(page.body.match(/class="measured-mark"/g)).toHaveLength(2)
    const [, link = ''] = /href="(\/files\/[^"]*snags\/new[^"]*)"/.exec(page.body) ?? []
    const form = await odile.page(link.replaceAll('&amp;', '&'))
    expect(form.body).toMatch(/<option value="unsupported part" selected/)
    expect(form.body).toContain('value="20 mm up, right, at the back"')
    expect(wordsOf(form)).toContain('Measured: 1.5 mm² begin in mid-air, 20 mm up, in layers of 50 µm.')
    const file = wordsOf(await odile.page(`/files/${fileId}`))
    expect(file).toContain('2 places in mid-air')
  })

  test('of a great lot the largest twenty are listed; none at all is a hint, too', async () => {
    const { revisionId, supportSetId } = await aPrintable(ada)
    const url = `/revisions/${revisionId}/measure/found?supports=${supportSetId}`
    const many = Array.from({ length: 31 }, (_, index) => start(1 + index / 2, 0.1 + index))
    const page = await ada.submit(url, asked({ midAir: many, layerUm: 30 }))
    expect(page.body.match(/class="measured-mark"/g)).toHaveLength(20)
    expect(wordsOf(page)).toContain('And 11 smaller ones.')
    const none = wordsOf(await ada.submit(url, asked({ midAir: [], layerUm: 30 })))
    expect(none).toContain('Nothing begins in mid-air, as far as layers of 30 µm tell: a hint, not a promise.')
  })

  test('a snag’s form takes nothing strange from its address', async () => {
    const { fileId, revisionId } = await aPrintable(ada)
    const page = await ada.page(
      `/files/${fileId}/snags/new?kind=curse&part=${'x'.repeat(500)}&revisionId=nothing&kind=b`,
    )
    expect(page.statusCode).toBe(200)
    expect(page.body).not.toContain('xxxx')
    expect(page.body).toContain(revisionId)
  })
})
