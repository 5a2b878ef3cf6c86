import { createHash } from 'node:crypto'
import sharp from 'sharp'
import { longestSide, within } from '../../../http/face.ts'
import type { Answer, Asked, Encoded } from './encode.ts'
import { cropBox, longestGiven, mostPixels, type Refusal } from './rules.ts'

// One picture after another, nothing remembered, and no reader but those of the three kinds that are taken.
sharp.concurrency(1)
sharp.cache(false)
sharp.block({ operation: ['VipsForeignLoad'] })
sharp.unblock({ operation: ['VipsForeignLoadJpeg', 'VipsForeignLoadPng', 'VipsForeignLoadWebp'] })

/** How often it looks how much it has taken. */
const lookMs = 50
const mostBytes = Number(process.argv[2]) * 1024 ** 2

process.on('message', async (asked: Asked) => {
  process.send?.(await answered(asked))
})

// A decoder works on threads of its own, and can't be told to stop.
const end = () => process.kill(process.pid, 'SIGKILL')
setInterval(() => {
  if (process.memoryUsage.rss() > mostBytes) end()
}, lookMs).unref()

// What ends the service is sent to all of its processes; this one ends when the service is done with it, or has died.
for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => {})
process.on('disconnect', end)

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
  const open = () => sharp(bytes, { limitInputPixels: mostPixels, failOn: 'error' })
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
