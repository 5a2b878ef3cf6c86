import { measureFiles } from './measure-files.ts'
import type { News, Start } from './measuring.ts'
import { Refusal } from './refusal.ts'

/** The worker's entry: is started once with files, tells how it goes and what it has found, and is ended by the page. */
addEventListener('message', ({ data }: MessageEvent<Start>) => {
  measureFiles(data, (share, doing) => tell({ kind: 'progress', share, doing })).then(
    (measure) => tell({ kind: 'done', measure }),
    (error: unknown) => tell({ kind: 'refused', sentence: sentenceOf(error) }),
  )
})

const tell = (news: News): void => postMessage(news)

function sentenceOf(error: unknown): string {
  if (error instanceof Refusal) return error.message
  console.error(error)
  if (error instanceof RangeError) return 'This browser could not hold the files. Try fewer parts at once.'
  return 'These files could not be measured; they may be damaged.'
}
