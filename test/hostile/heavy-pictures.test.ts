import { crc32, deflateSync } from 'node:zlib'
import sharp from 'sharp'
import { afterEach, expect, test } from 'vitest'
import { encoder } from '../../server/features/printing/pictures/encode.ts'
import { aJpeg } from '../support/pictures.ts'

/*
 * Pictures that are small in bytes and in pixels, and take far more than any photograph of their size: what is read of a
 * head before a picture is decoded does not tell.
 */

const usual = { seconds: 30, megabytes: 1200 }
const bounds = { ...usual }
const encode = encoder(bounds)
afterEach(() => Object.assign(bounds, usual))

const ended = { refusal: 'broken', because: 'its process has ended' }
const isTaken = async () => {
  const answer = await encode({ bytes: await aJpeg(), crop: null })
  return 'hash' in answer
}

/** ITU-T T.81: markers of a frame's header in progressive mode, of a table of Huffman codes, of a scan and of the end. */
const [sof2, dht, sos, eoi] = [0xc2, 0xc4, 0xda, 0xd9]

/**
 * Refines every coefficient bit by bit in scans of its own, as progressive mode allows, and nothing comes of any: of a code
 * of one bit for a run of 2^14 blocks and more that are over (EOB14), a scan takes some bytes.
 */
async function ofManyScans(side: number): Promise<Buffer> {
  const background = 'grey'
  const image = sharp({ create: { width: side, height: side, channels: 3, background } })
  const plain = await image.jpeg({ progressive: true, chromaSubsampling: '4:4:4' }).toBuffer()
  const frame = plain.indexOf(Buffer.from([0xff, sof2]))
  const components = [0, 1, 2].map((index) => plain[frame + 10 + 3 * index] ?? 0)
  const first = plain.indexOf(Buffer.from([0xff, sos]))
  const second = plain.indexOf(Buffer.from([0xff, dht]), first)
  const head = plain.subarray(0, second < 0 ? plain.indexOf(Buffer.from([0xff, sos]), first + 2) : second)
  const table = Buffer.from([0xff, dht, 0, 20, 0x10, 1, ...Array(15).fill(0), 0xe0])
  // A zero for the code, and 14 ones for the longest run: 32,767 blocks.
  const runs = Math.ceil((side / 8) ** 2 / 32_767)
  const bits = `0${'1'.repeat(14)}`.repeat(runs)
  const bytes = (bits.padEnd(8 * Math.ceil(bits.length / 8), '1').match(/.{8}/g) ?? []).map((byte) => parseInt(byte, 2))
  const coded = bytes.flatMap((byte) => (byte === 0xff ? [byte, 0] : [byte]))
  const scans = components.flatMap((component) =>
    Array.from({ length: 63 * 14 }, (_, index) => {
      const [coefficient, bit] = [1 + Math.floor(index / 14), 13 - (index % 14)]
      const before = bit === 13 ? 0 : bit + 1
      return [0xff, sos, 0, 8, 1, component, 0, coefficient, coefficient, (before << 4) | bit, ...coded]
    }).flat(),
  )
  return Buffer.concat([head, table, Buffer.from([...scans, 0xff, eoi])])
}

test('a picture that takes too long is given up, and the next one is taken', async () => {
  const bytes = await ofManyScans(2000)
  expect(bytes.length).toBeLessThan(100_000)
  expect((await sharp(bytes).metadata()).isProgressive).toBe(true)
  bounds.seconds = 0.5
  expect(await encode({ bytes, crop: null })).toEqual(ended)
  bounds.seconds = usual.seconds
  expect(await isTaken()).toBe(true)
})

/** Of W3C PNG 5.3. */
function chunk(type: string, data: Uint8Array): Buffer {
  const named = Buffer.concat([Buffer.from(type), data])
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)]
  length.writeUInt32BE(data.length)
  check.writeUInt32BE(crc32(named))
  return Buffer.concat([length, named, check])
}

test('a picture whose texts fill the memory is given up, and the next one is taken', async () => {
  const plain = await sharp({ create: { width: 8, height: 8, channels: 3, background: 'grey' } })
    .png()
    .toBuffer()
  const long = deflateSync(Buffer.alloc(20_000_000, 'x'), { level: 9 })
  const texts = Array.from({ length: 20 }, (_, index) =>
    chunk('zTXt', Buffer.concat([Buffer.from(`a${index}\0\0`), long])),
  )
  const headEnd = 33
  const bytes = Buffer.concat([plain.subarray(0, headEnd), ...texts, plain.subarray(headEnd)])
  expect(bytes.length).toBeLessThan(1024 ** 2)
  bounds.megabytes = 150
  expect(await encode({ bytes, crop: null })).toEqual(ended)
  bounds.megabytes = usual.megabytes
  expect(await isTaken()).toBe(true)
})
