import { sha256Of } from './hash.ts'
import type { Measure } from './measure.ts'
import { measureSolids } from './measure-solids.ts'
import type { OnProgress, Start } from './measuring.ts'
import { checkFiles, readFile } from './read/index.ts'
import type { Solid } from './solid.ts'

/** Shares of the whole that reading takes. */
const reading = 0.3

/**
 * Reads files and measures them together.
 *
 * @throws Refusal when they can't be
 */
export async function measureFiles({ files, unit, layerUm }: Start, onProgress: OnProgress): Promise<Measure> {
  checkFiles(files)
  const sha256s: string[] = []
  const solids: Solid[] = []
  for (const [place, file] of files.entries()) {
    const onShare = (share: number) => onProgress((reading * (place + share)) / files.length, `Reading ${file.name}`)
    onShare(0)
    const bytes = await file.arrayBuffer()
    const hash = sha256Of(bytes)
    solids.push(...readFile(file.name, bytes, unit, onShare))
    sha256s.push(await hash)
  }
  const measured = measureSolids(solids, layerUm, (share, doing) => onProgress(reading + (1 - reading) * share, doing))
  return { sha256s: sha256s.toSorted(), ...measured }
}
