import { Unzip, UnzipInflate, UnzipPassThrough } from 'fflate'
import { Refusal } from '../refusal.ts'
import { megabytes, mostUnpackedBytes } from './limits.ts'

/** @param share of the package that has been unpacked, 0 to 1 */
export type OnShare = (share: number) => void

/** A model packs to a tenth; what is packed to less than a hundredth is meant to do harm, or empty. */
const mostTimes = 100
const untilSuspicious = 10e6

/** What is packed so small may be a thousand times as large, so it is unpacked in pieces, of which each can be refused. */
const pieceBytes = 2 ** 15

/** Is handed a part's text piece by piece, and told when it was all. */
export interface PartReader {
  text(piece: string): void
  end(): void
}

/**
 * Unpacks the parts of a package (ZIP) that somebody wants to read, without ever holding all of it.
 *
 * @param wants who reads a part, by its path without a slash at its beginning; null: it stays packed
 * @throws Refusal when it is no ZIP, is damaged, or unpacks to more than a browser can hold
 */
export function unpack(
  name: string,
  bytes: ArrayBuffer,
  wants: (path: string) => PartReader | null,
  onShare: OnShare,
): void {
  let [pushed, unpacked] = [0, 0]
  let [begun, ended] = [0, 0]
  const unzip = new Unzip((file) => {
    const reader = wants(file.name.replace(/^\/+/, ''))
    if (!reader) return
    begun++
    const decoder = new TextDecoder()
    file.ondata = (error, piece, final) => {
      if (error) throw error
      unpacked += piece.length
      if (unpacked > mostUnpackedBytes) throw new Refusal(tooLarge(name))
      if (unpacked > Math.max(untilSuspicious, mostTimes * pushed)) throw new Refusal(tooTight(name))
      reader.text(decoder.decode(piece, { stream: !final }))
      if (!final) return
      reader.end()
      ended++
    }
    file.start()
  })
  unzip.register(UnzipPassThrough)
  unzip.register(UnzipInflate)
  const all = new Uint8Array(bytes)
  try {
    for (; pushed < all.length; pushed += pieceBytes) {
      unzip.push(all.subarray(pushed, pushed + pieceBytes), pushed + pieceBytes >= all.length)
      if (pushed % (32 * pieceBytes) === 0) onShare(pushed / all.length)
    }
  } catch (error) {
    if (error instanceof Refusal || error instanceof RangeError) throw error
    throw new Refusal(damaged(name))
  }
  if (begun === 0) throw new Refusal(`${name} is not a 3MF, or has no model in it.`)
  if (ended < begun) throw new Refusal(damaged(name))
}

const tooLarge = (name: string) =>
  `${name} unpacks to more than ${megabytes(mostUnpackedBytes)}, which is more than can be measured.`

const tooTight = (name: string) => `${name} unpacks to more than ${mostTimes} times its size, which no model does.`

const damaged = (name: string) => `${name} can’t be unpacked: it is damaged or was cut off.`
