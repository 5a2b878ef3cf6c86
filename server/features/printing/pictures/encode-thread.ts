import { createHash } from 'node:crypto'
import { parentPort } from 'node:worker_threads'
import sharp from 'sharp'
import { longestSide, within } from '../../../http/face.ts'
import type { Answer, Asked, Encoded } from './encode.ts'
import { cropBox, longestGiven, mostPixels, type Refusal } from './rules.ts'

// One picture after another, nothing remembered, and no reader but those of the three kinds that are taken.
sharp.concurrency(1)
sharp.cache(false)
sharp.block({ operation: ['VipsForeignLoad'] })
sharp.unblock({ operation: ['VipsForeignLoadJpeg', 'VipsForeignLoadPng', 'VipsForeignLoadWebp'] })

const longestS = 20

parentPort?.on('message', async (asked: Asked) => {
  parentPort?.postMessage(await answered(asked))
})

async function answered(asked: Asked): Promise<Answer> {
  try {
    return await encoded(asked)
  } catch (error) {
    return { refusal: refusalIn(String(error)), because: String(error) }
  }
}

const refusalIn = (words: string): Refusal => (/pixel limit/.test(words) ? 'too many pixels' : 'broken')

/** Pixels alone, upright, in sRGB: the encoder writes nothing of what else was in the file. */
async function encoded({ bytes, crop }: Asked): Promise<Encoded | Answer> {
  const open = () => sharp(bytes, { limitInputPixels: mostPixels, failOn: 'error' }).timeout({ seconds: longestS })
  const { autoOrient: upright } = await open().metadata()
  if (Math.max(upright.width, upright.height) > longestGiven)
    return { refusal: 'too many pixels', because: 'its longest side' }
  const box = crop ? cropBox(upright, crop) : { left: 0, top: 0, ...upright }
  const size = within(box, longestSide.large)
  const large = await open()
    .autoOrient()
    .extract(box)
    .resize({ ...size, fit: 'fill' })
    .webp({ quality: 80 })
    .toBuffer()
  const small = await sharp(large)
    .resize({ ...within(size, longestSide.small), fit: 'fill' })
    .webp({ quality: 76 })
    .toBuffer()
  return { hash: createHash('sha256').update(large).digest('hex'), ...size, large, small }
}
