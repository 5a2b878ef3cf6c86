import { crc32 } from 'node:zlib'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { sweepGone, sweepOrphans } from '../../../server/features/printing/pictures/keeping.ts'
import { outsider, startGroup } from '../../support/app.ts'
import { made } from '../../support/catalogue.ts'
import { fieldsOf } from '../../support/forms.ts'
import { aJpeg, asFile, sendPictures } from '../../support/pictures.ts'
import { aPlate, aPrintable, aPrinter, aReport, plateForm, type reportBody } from '../../support/printing.ts'

let group: Awaited<ReturnType<typeof startGroup>>
beforeAll(async () => {
  group = await startGroup()
})
afterAll(() => group.close())

interface Made {
  id: string
  file: { id: string }
  reportId: string | null
  src: string
  width: number
  height: number
  large: { src: string; width: number; height: number }
  whole: { src: string }
  alt: string
  version: number
}

/** A picture of a report of Ada's, as the API takes it. */
async function shown(bytes: Uint8Array, over: Record<string, string> = {}, report: Parameters<typeof aReport>[1] = {}) {
  const { ada } = group
  const { id, plateId } = await aReport(ada, report)
  const answer = await sendPictures(ada, `/api/v1/reports/${id}/photos`, [asFile(bytes)], over)
  const [picture] = made<{ items: Made[] }>(answer).items
  return { ...(picture as Made), plateId }
}

const hashIn = ({ src }: { src: string }) => /[0-9a-f]{64}/.exec(src)?.[0] ?? ''
const load = async (src: string) => sharp((await group.ben.page(src)).rawPayload)
const kept = () => ({ db: group.db, store: group.app.pictures })
const isKept = async (picture: { src: string }) =>
  (await group.app.pictures.get(picture.src.replace('/pictures/', ''))) !== undefined
/** Past the time in which a form may still be accepted, or a row follow its bytes. */
const later = () => new Date(Date.now() + 48 * 3_600_000)

describe('a picture of a report', () => {
  test('is kept in two sizes, which members may load and keep', async () => {
    const picture = await shown(await aJpeg(2400, 1800), { alt: 'Four sentries' })
    expect(picture).toMatchObject({ width: 480, height: 360, alt: 'Four sentries' })
    expect(picture.large).toMatchObject({ width: 1600, height: 1200 })
    const small = await group.ben.page(picture.src)
    expect(small.headers).toMatchObject({
      'content-type': 'image/webp',
      'cache-control': 'private, max-age=31536000, immutable',
      'x-content-type-options': 'nosniff',
    })
    const { width, height, format } = await sharp(small.rawPayload).metadata()
    expect([width, height, format]).toEqual([480, 360, 'webp'])
  })

  test('is nobody’s who is not signed in', async () => {
    const { src } = await shown(await aJpeg())
    const answer = await outsider(group.app).page(src)
    expect([answer.statusCode, answer.headers.location]).toEqual([303, `/sign-in?next=${encodeURIComponent(src)}`])
    expect((await outsider(group.app).get('/files/x/photos')).statusCode).toBe(401)
  })

  test('is not blown up', async () => {
    const picture = await shown(await aJpeg(300, 200))
    expect([picture.width, picture.height, picture.large.width]).toEqual([300, 200, 300])
  })

  test('goes with its report: at once for everybody, its bytes soon after', async () => {
    const { plateId, ...picture } = await shown(await aJpeg())
    await group.ada.delete(`/plates/${plateId}`)
    expect((await group.ada.page(picture.src)).statusCode).toBe(404)
    expect((await group.ada.get(`/photos/${picture.id}`)).statusCode).toBe(404)
    await sweepGone(kept())
    expect([await isKept(picture), await isKept(picture.large)]).toEqual([false, false])
  })

  test('keeps its bytes while another picture of the same content has them', async () => {
    const bytes = await aJpeg()
    const [one, other] = [await shown(bytes), await shown(bytes)]
    expect(one.src).toBe(other.src)
    await group.ada.delete(`/photos/${one.id}`)
    await sweepGone(kept())
    expect(await isKept(other)).toBe(true)
  })

  test('is added by whoever printed it alone', async () => {
    const { id } = await aReport(group.ada)
    const answer = await sendPictures(group.ben, `/api/v1/reports/${id}/photos`, [asFile(await aJpeg())])
    expect(answer.statusCode).toBe(403)
  })

  test('follows its print to another file', async () => {
    const { ada } = group
    const picture = await shown(await aJpeg())
    const other = await aPrintable(ada)
    await ada.patch(`/reports/${picture.reportId}`, { supportSetId: other.supportSetId })
    expect((await ada.get(`/photos/${picture.id}`)).json().file.id).toBe(other.fileId)
  })
})

describe('what is in a picture besides its pixels', () => {
  const exif = { IFD0: { Make: 'Lens of Ada' }, IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '53/1 20/1 30/1' } }

  test('goes: the place where it was taken, the camera, and what hangs on behind', async () => {
    const plain = await sharp({ create: { width: 90, height: 60, channels: 3, background: 'grey' } })
      .withExif(exif)
      .withXmp('<x:xmpmeta xmlns:x="adobe:ns:meta/"><note>by Ada</note></x:xmpmeta>')
      .jpeg()
      .toBuffer()
    const given = Buffer.concat([plain, Buffer.from('<script>alert(1)</script>PK\u0003\u0004')])
    expect((await sharp(given).metadata()).exif?.includes('Lens of Ada')).toBe(true)
    // GPSInfo, the pointer of EXIF to where it was taken (Exif 2.32, tag 0x8825, here in big or little order).
    const pointers = [Buffer.from([0x88, 0x25]), Buffer.from([0x25, 0x88])]
    expect(pointers.some((tag) => (plain.indexOf(tag) ?? -1) >= 0)).toBe(true)

    const picture = await shown(given)
    for (const { src } of [picture, picture.large]) {
      const bytes = (await group.ben.page(src)).rawPayload
      const { exif: left, xmp, icc, iptc, format } = await sharp(bytes).metadata()
      expect([left, xmp, icc, iptc, format]).toEqual([undefined, undefined, undefined, undefined, 'webp'])
      for (const word of ['Lens of Ada', 'GPS', 'EXIF', 'XMP', 'by Ada', '<script', 'PK\u0003\u0004'])
        expect([word, bytes.includes(word)]).toEqual([word, false])
    }
  })

  test('is heeded where it says which way is up', async () => {
    // Red on the left, blue on the right, and a note that it has to be turned a quarter to the right (EXIF 6).
    const half = (background: string) => ({ create: { width: 60, height: 60, channels: 3 as const, background } })
    const lying = await sharp({ create: { width: 120, height: 60, channels: 3, background: 'red' } })
      .composite([{ input: await sharp(half('blue')).png().toBuffer(), left: 60, top: 0 }])
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer()
    const picture = await shown(lying)
    expect([picture.width, picture.height]).toEqual([60, 120])
    const { data } = await (await load(picture.src)).raw().toBuffer({ resolveWithObject: true })
    const [red, , blue] = [data[0] ?? 0, data[1], data[2] ?? 0]
    const last = data.length - 3
    expect(red).toBeGreaterThan(blue)
    expect(data[last + 2]).toBeGreaterThan(data[last] ?? 0)
  })
})

describe('refused is', () => {
  const send = async (bytes: Uint8Array, name = 'print.jpg', type = 'image/jpeg') => {
    const { id } = await aReport(group.ada)
    const answer = await sendPictures(group.ada, `/api/v1/reports/${id}/photos`, [asFile(bytes, name, type)])
    return [answer.statusCode, answer.json().detail]
  }
  const text = (words: string) => Buffer.from(words)

  test.each([
    ['SVG', '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'],
    ['HTML', '<!doctype html><script>alert(1)</script>'],
    ['PDF', '%PDF-1.7\n'],
    ['nothing', ''],
  ])('%s that is called a JPEG', async (_, words) => {
    expect(await send(text(words))).toEqual([415, 'This is not a JPEG, PNG or WebP picture.'])
  })

  test('GIF, also one that is a script as well', async () => {
    const gif = await sharp({ create: { width: 4, height: 4, channels: 3, background: 'red' } })
      .gif()
      .toBuffer()
    expect((await send(gif))[0]).toBe(415)
    expect((await send(text('GIF89a/*\u0000\u0000*/=alert(1)//')))[0]).toBe(415)
  })

  test('a page with a picture behind it', async () => {
    const both = Buffer.concat([text('<!doctype html><script>alert(1)</script>'), await aJpeg()])
    expect((await send(both))[0]).toBe(415)
  })

  test('HEIC, with what to do', async () => {
    const [status, words] = await send(text('\u0000\u0000\u0000\u0018ftypheic\u0000\u0000\u0000\u0000'))
    expect([status, words]).toEqual([
      415,
      expect.stringContaining('save a copy of it as a JPEG, or set your phone’s camera to take JPEGs'),
    ])
  })

  test('a picture that breaks off', async () => {
    const whole = await sharp({
      create: {
        width: 800,
        height: 800,
        channels: 3,
        noise: { type: 'gaussian', mean: 128, sigma: 30 },
        background: 'red',
      },
    })
      .jpeg()
      .toBuffer()
    expect((await send(whole.subarray(0, whole.length / 2)))[0]).toBe(422)
  })

  test('40,000 pixels a side, by its head alone', async () => {
    // IHDR of a PNG that says so (W3C PNG 11.2.1), with nothing behind: nobody gets as far as to look for it.
    const head = await sharp({ create: { width: 8, height: 8, channels: 3, background: 'red' } })
      .png()
      .toBuffer()
    head.writeUInt32BE(40_000, 16)
    head.writeUInt32BE(40_000, 20)
    head.writeUInt32BE(crc32(head.subarray(12, 29)), 29)
    expect(await send(head)).toEqual([422, expect.stringContaining('million pixels')])
  })

  test('a side of 40,000 pixels, however thin', async () => {
    const strip = await sharp({ create: { width: 40_000, height: 4, channels: 3, background: 'red' } })
      .png()
      .toBuffer()
    expect(await send(strip)).toEqual([422, expect.stringContaining('16000 on a side')])
  })

  test('a bomb: few bytes, and more pixels than are decoded', async () => {
    const bomb = await sharp({ create: { width: 12_000, height: 12_000, channels: 3, background: 'white' } })
      .png({ compressionLevel: 9 })
      .toBuffer()
    expect(bomb.length).toBeLessThan(1024 ** 2)
    expect(await send(bomb)).toEqual([422, expect.stringContaining('million pixels')])
  })

  test('what is larger than 12 MB', async () => {
    const large = Buffer.concat([await aJpeg(), Buffer.alloc(12 * 1024 ** 2)])
    expect((await send(large))[0]).toBe(413)
  })

  test('a seventh', async () => {
    const { id } = await aReport(group.ada)
    const seven = await Promise.all(Array.from({ length: 7 }, async () => asFile(await aJpeg(40, 40))))
    expect((await sendPictures(group.ada, `/api/v1/reports/${id}/photos`, seven)).statusCode).toBe(413)
  })
})

describe('a form', () => {
  async function typed() {
    const { fileId, supportSetId } = await aPrintable(group.ada)
    const { id: printerId } = await aPrinter(group.ada)
    const fields = { printedOn: '2025-06-01', crowding: 'packed', printerId, remark: 'Wednesday' }
    return { fileId, fields: plateForm(fields, { fileId, supports: supportSetId, tried: '2', good: '2' }) }
  }

  test('of a report brings pictures, or none', async () => {
    const { fileId, fields } = await typed()
    const none = asFile(Buffer.alloc(0), '', 'application/octet-stream')
    const without = await sendPictures(group.ada, '/reports/new', [none], fields)
    expect(without.statusCode).toBe(303)
    const plain = await group.ada.submit('/reports/new', fields)
    expect(plain.statusCode).toBe(303)
    const answer = await sendPictures(group.ada, '/reports/new', [none, asFile(await aJpeg())], {
      ...fields,
      alt: 'Two',
    })
    const plate = String(answer.headers.location).split('?')[0]
    expect((await group.ben.page(plate ?? '')).body).toContain('alt="Two"')
    expect((await group.ben.get(`/files/${fileId}/photos`)).json().items).toHaveLength(1)
  })

  test('that is refused keeps what was typed, and its pictures', async () => {
    const { fileId, fields } = await typed()
    const files = [asFile(await aJpeg()), asFile(Buffer.from('<svg/>'), 'print.svg', 'image/svg+xml')]
    const sent = { ...fields, 'prints.0.good': '3', alt: 'Two herons' }
    const refused = await sendPictures(group.ada, '/reports/new', files, sent)
    expect(refused.statusCode).toBe(422)
    expect(refused.body).toContain('This is not a JPEG, PNG or WebP picture.')
    const left = fieldsOf(refused.body, '/reports/new')
    expect(left).toMatchObject({ alt: 'Two herons', remark: 'Wednesday' })
    expect([left.pictures].flat().filter(Boolean)).toHaveLength(1)
    // Nobody else sees it until the form is accepted.
    const src = `/pictures/${[left.pictures].flat().find(Boolean)}-480`
    expect([(await group.ada.page(src)).statusCode, (await group.ben.page(src)).statusCode]).toEqual([200, 404])

    const again = await sendPictures(group.ada, '/reports/new', [], { ...left, 'prints.0.good': '2' } as never)
    expect(again.statusCode).toBe(303)
    expect((await group.ben.get(`/files/${fileId}/photos`)).json().items).toHaveLength(1)
  })

  test('that asks for another print on the plate keeps its pictures as well', async () => {
    const { fields } = await typed()
    const other = await aPrintable(group.ada)
    const more = { ...fields, add: other.fileId }
    const page = await sendPictures(group.ada, '/reports/new/more', [asFile(await aJpeg())], more)
    expect(page.statusCode).toBe(200)
    expect([fieldsOf(page.body, '/reports/new').pictures].flat().filter(Boolean)).toHaveLength(1)
    expect(page.body).toContain('Which of them the picture shows')
  })

  test('says on its page that a picture is too large, and keeps the rest', async () => {
    const { fields } = await typed()
    const large = asFile(Buffer.concat([await aJpeg(), Buffer.alloc(12 * 1024 ** 2)]))
    const answer = await sendPictures(group.ada, '/reports/new', [large, asFile(await aJpeg())], fields)
    expect([answer.statusCode, answer.body.includes('at most 12 MB')]).toEqual([422, true])
    expect(fieldsOf(answer.body, '/reports/new')).toMatchObject({ remark: 'Wednesday' })
  })

  test('that is no form is refused as such', async () => {
    const { cookie } = group.ada
    const headers = { 'content-type': 'multipart/form-data; boundary=x', 'sec-fetch-site': 'same-origin', cookie }
    for (const payload of [
      'nonsense',
      '--x\r\n',
      '--x\r\ncontent-disposition: form-data; name="pictures"; filename="a"\r\n\r\nhalf',
    ])
      expect((await group.app.inject({ method: 'POST', url: '/reports/new', headers, payload })).statusCode).toBe(400)
    const none = { ...headers, 'content-type': 'multipart/form-data' }
    expect(
      (await group.app.inject({ method: 'POST', url: '/reports/new', headers: none, payload: 'x' })).statusCode,
    ).toBe(400)
  })

  test('pressed twice counts once', async () => {
    const { fileId, fields } = await typed()
    const page = fieldsOf((await group.ada.page(`/reports/new?fileId=${fileId}`)).body, '/reports/new')
    const bytes = await aJpeg()
    const press = () => sendPictures(group.ada, '/reports/new', [asFile(bytes)], { ...fields, once: String(page.once) })
    const [one, other] = await Promise.all([press(), press()])
    expect(one.headers.location).toBe(other.headers.location)
    expect((await group.ada.get(`/reports?fileId=${fileId}`)).json().items).toHaveLength(1)
    expect((await group.ada.get(`/files/${fileId}/photos`)).json().items).toHaveLength(1)
  })

  test('comes from our own pages alone', async () => {
    const { fields } = await typed()
    const strange = { 'sec-fetch-site': 'cross-site' }
    expect((await sendPictures(group.ada, '/reports/new', [], fields, strange)).statusCode).toBe(403)
  })

  test('of another kind takes no multipart body', async () => {
    expect((await sendPictures(group.ada, '/units/new', [], { name: 'Herons' })).statusCode).toBe(415)
  })

  test('says which of a plate’s prints is to be seen', async () => {
    const [one, other] = [await aPrintable(group.ada), await aPrintable(group.ada)]
    const plate = await aPlate(
      group.ada,
      [one, other].map((print) => ({ supportSetId: print.supportSetId })),
    )
    const second = plate.prints.findIndex(({ supportSet }) => supportSet.id === other.supportSetId)
    const files = [asFile(await aJpeg())]
    const answer = await sendPictures(group.ada, `/plates/${plate.id}/pictures`, files, { pictured: String(second) })
    expect(answer.statusCode).toBe(303)
    expect((await group.ada.get(`/files/${other.fileId}/photos`)).json().items).toHaveLength(1)
    expect((await group.ada.get(`/files/${one.fileId}/photos`)).json().items).toHaveLength(0)
  })
})

test('a sculptor who asked not to be named is not told by a picture’s words', async () => {
  const { ada, ben, odile } = group
  const sculptor = { name: 'Wilma Grosheim', credit: 'unnamed' }
  const { fileId } = await aPrintable(odile, { sculptor })
  const files = [asFile(await aJpeg())]
  const fields = { alt: 'As Wilma Grosheim paints them' }
  const [{ id }] = (await sendPictures(ada, `/api/v1/files/${fileId}/photos`, files, fields)).json().items
  const seen = [
    (await ben.get(`/photos/${id}`)).json().alt,
    (await ben.get(`/files/${fileId}`)).json().face.alt,
    (await ben.get('/files')).json().items.find((file: { id: string }) => file.id === fileId).face.alt,
    (await ben.page(`/files/${fileId}`)).body,
    (await ben.page(`/pictures/${id}/base`)).body,
  ]
  for (const words of seen) expect(words).not.toMatch(/grosheim/i)
  expect((await odile.get(`/photos/${id}`)).json().alt).toBe(fields.alt)
})

test('a full disk is told as such, and keeps nothing by halves', async () => {
  const { ada, db } = group
  const { fileId } = await aPrintable(ada)
  const store = group.app.pictures
  const put = store.put
  store.put = async () => {
    throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' })
  }
  const answer = await sendPictures(ada, `/api/v1/files/${fileId}/photos`, [asFile(await aJpeg())])
  store.put = put
  expect(answer.statusCode).toBe(507)
  expect(await db.selectFrom('picture').select('id').where('fileId', '=', fileId).execute()).toEqual([])
})

describe('a file', () => {
  test('has pictures without a report, too', async () => {
    const { fileId } = await aPrintable(group.ada)
    const answer = await sendPictures(group.ben, `/files/${fileId}/pictures`, [asFile(await aJpeg())])
    expect(answer.headers.location).toBe(`/files/${fileId}?said=picture-added#pictures`)
    expect((await group.ada.page(`/files/${fileId}`)).body).toContain('<img class="picture"')
  })

  test('shows its one picture once, at the head, and two in a row besides', async () => {
    const { fileId } = await aPrintable(group.ada)
    const drawn = async () => {
      const { body } = await group.ben.page(`/files/${fileId}`)
      expect(body).toContain('id="pictures"')
      expect(body).toContain(`href="/files/${fileId}/pictures/new"`)
      expect(body).toContain('does it fit the base?')
      return body.match(/<img class="picture"/g)?.length
    }
    await sendPictures(group.ben, `/files/${fileId}/pictures`, [asFile(await aJpeg())])
    expect(await drawn()).toBe(1)
    await sendPictures(group.ben, `/files/${fileId}/pictures`, [asFile(await aJpeg(640, 400))])
    expect(await drawn()).toBe(3)
  })

  test('shows the newest of a good print as its face, or what a steward chose', async () => {
    const { ada, odile } = group
    const { fileId, supportSetId } = await aPrintable(ada)
    const face = async () => (await ada.get(`/files/${fileId}`)).json().face?.src
    const of = (over: Parameters<typeof reportBody>[0]) =>
      aJpeg().then((bytes) => shown(bytes, {}, { supportSetId, ...over }))
    expect(await face()).toBeUndefined()
    await of({ failures: [{ seen: 'soft detail', copies: 5 }] })
    expect(await face()).toBeUndefined()
    const first = await of({})
    const second = await of({})
    expect(await face()).toBe(second.src)
    expect((await ada.put(`/files/${fileId}/face`, { pictureId: first.id })).statusCode).toBe(403)
    expect((await odile.put(`/files/${fileId}/face`, { pictureId: first.id })).statusCode).toBe(204)
    expect(await face()).toBe(first.src)
    await ada.delete(`/photos/${first.id}`)
    expect(await face()).toBe(second.src)
  })
})

describe('changing a picture', () => {
  test('cuts it anew out of the whole, and back', async () => {
    const { ada } = group
    const picture = await shown(await aJpeg(1000, 800))
    const crop = { left: 10, top: 0, right: 40, bottom: 50 }
    const cut = (await ada.patch(`/photos/${picture.id}`, { crop })).json()
    expect([cut.large.width, cut.large.height, cut.whole.width]).toEqual([500, 400, 1000])
    const { width, height } = await (await load(cut.large.src)).metadata()
    expect([width, height]).toEqual([500, 400])
    const back = (await ada.patch(`/photos/${picture.id}`, { crop: null })).json()
    expect([back.src, back.crop]).toEqual([picture.src, null])
    await sweepGone(kept())
    expect([await isKept(cut), await isKept(back), await isKept(back.large)]).toEqual([false, true, true])
  })

  test('is for whoever took it, and for stewards who say which state they mean', async () => {
    const { ben, odile } = group
    const any = { headers: { 'if-match': '*' } }
    const picture = await shown(await aJpeg())
    expect((await ben.patch(`/photos/${picture.id}`, { alt: 'Mine' }, any)).statusCode).toBe(403)
    expect((await odile.patch(`/photos/${picture.id}`, { alt: 'Mine' })).statusCode).toBe(428)
    const headers = { 'if-match': `"${picture.version}"` }
    expect((await odile.patch(`/photos/${picture.id}`, { alt: 'Mild' }, { headers })).json().alt).toBe('Mild')
    expect((await odile.patch(`/photos/${picture.id}`, { alt: 'Late' }, { headers })).statusCode).toBe(412)
  })
})

describe('after a crash', () => {
  test('bytes without a row are swept, but not while their row may still come', async () => {
    const name = `${'ab'.repeat(32)}-480`
    await group.app.pictures.put(name, Buffer.from('left behind'))
    await sweepOrphans(kept(), new Date())
    expect(await group.app.pictures.get(name)).toBeDefined()
    const picture = await shown(await aJpeg())
    await sweepOrphans(kept(), later())
    expect(await group.app.pictures.get(name)).toBeUndefined()
    expect([await isKept(picture), await isKept(picture.large)]).toEqual([true, true])
  })

  test('pictures whose form was never accepted go', async () => {
    const { fileId } = await aPrintable(group.ada)
    const fields = { pictures: 'never a hash' }
    const refused = await sendPictures(group.ada, `/files/${fileId}/pictures`, [asFile(await aJpeg())], fields)
    const hash = /[0-9a-f]{64}/.exec(refused.body)?.[0] ?? ''
    expect(await group.app.pictures.get(`${hash}-480`)).toBeDefined()
    await sweepOrphans(kept(), later())
    expect(await group.app.pictures.get(`${hash}-480`)).toBeUndefined()
    const late = await sendPictures(group.ada, `/files/${fileId}/pictures`, [], { pictures: hash })
    expect([late.statusCode, late.body.includes('Choose it again')]).toEqual([422, true])
  })
})

test('a picture that comes back while its bytes are being taken away keeps them', async () => {
  const bytes = await aJpeg()
  const first = await shown(bytes)
  await group.ada.delete(`/photos/${first.id}`)
  const [again] = await Promise.all([shown(bytes), sweepGone(kept())])
  await sweepGone(kept())
  expect(hashIn(again)).toBe(hashIn(first))
  expect([await isKept(again), await isKept(again.large)]).toEqual([true, true])
})
