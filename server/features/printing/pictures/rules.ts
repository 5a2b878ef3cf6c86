import type { Crop } from '../../../../db/rows/printing.ts'

/** At most so many at a time. */
export const mostPictures = 6
/** Bytes of one, as it is sent. */
export const mostBytes = 12 * 1024 * 1024
/** Pixels of one: more than most cameras make, and what a decoder has to hold at once. */
export const mostPixels = 64_000_000
/** Neither side is longer. */
export const longestGiven = 16_000
/** So many may each member send within a day. */
export const mostADay = 300
/** Seconds after which whoever was turned away may send theirs again. */
export const againS = 10
/** Hours that a picture is kept whose form was never accepted. */
export const looseHours = 24

/** Why a picture is not taken, in words for whoever sent it. */
export const refusals = {
  'too many': `At most ${mostPictures} pictures at a time.`,
  'too large': `A picture may have at most ${mostBytes / 1024 ** 2} MB. Make it smaller, or crop it to the print.`,
  'no picture': 'This is not a JPEG, PNG or WebP picture.',
  heic: 'This is a HEIC picture, which can’t be read here: save a copy of it as a JPEG, or set your phone’s camera to take JPEGs, and send that.',
  'too many pixels': `A picture may have at most ${mostPixels / 1_000_000} million pixels, and ${longestGiven} on a side. Make it smaller.`,
  broken: 'This picture is damaged and can’t be read.',
  'too many at once': 'Many pictures are coming in just now. Send yours again in a moment.',
} as const

export type Refusal = keyof typeof refusals

const startsWith = (bytes: Uint8Array, signature: readonly number[], at = 0) =>
  signature.every((byte, index) => bytes[at + index] === byte)
const ascii = (text: string) => [...text].map((letter) => letter.charCodeAt(0))

const png = [0x89, ...ascii('PNG'), 0x0d, 0x0a, 0x1a, 0x0a]
const heicBrands = ['heic', 'heix', 'hevc', 'heim', 'heis', 'mif1', 'msf1']

/**
 * Why what was sent can't be a picture, by its first bytes alone: names and types are claims of whoever sends it.
 * Signatures: ITU-T T.81 (JPEG, SOI and the next marker), W3C PNG 5.2, RFC 9649 (WebP), ISO/IEC 14496-12 (`ftyp`).
 */
export function refusalOf(bytes: Uint8Array): Refusal | null {
  if (startsWith(bytes, [0xff, 0xd8, 0xff]) || startsWith(bytes, png)) return null
  if (startsWith(bytes, ascii('RIFF')) && startsWith(bytes, ascii('WEBP'), 8)) return null
  const isHeic = startsWith(bytes, ascii('ftyp'), 4) && heicBrands.some((brand) => startsWith(bytes, ascii(brand), 8))
  return isHeic ? 'heic' : 'no picture'
}

/** What is left of a picture, in its pixels. */
export function cropBox({ width, height }: { width: number; height: number }, crop: Crop) {
  const left = Math.round((width * crop.left) / 100)
  const top = Math.round((height * crop.top) / 100)
  return {
    left,
    top,
    width: Math.max(1, Math.min(width - left, Math.round((width * (100 - crop.left - crop.right)) / 100))),
    height: Math.max(1, Math.min(height - top, Math.round((height * (100 - crop.top - crop.bottom)) / 100))),
  }
}
