import type { Measure } from './measure.ts'
import { Refusal } from './refusal.ts'
import type { Unit } from './units.ts'

/** What the worker is started with. */
export interface Start {
  files: File[]
  /** Of the files that don't say it themselves. */
  unit: Unit
  /** Layers at which it looks for what begins in mid-air, µm; null: it doesn't look. Only a supported mesh is worth it. */
  layerUm: number | null
}

/** What the worker tells. */
export type News =
  | { kind: 'progress'; share: number; doing: string }
  | { kind: 'done'; measure: Measure }
  | { kind: 'refused'; sentence: string }

export interface Options extends Omit<Start, 'files'> {
  /** Where the worker is served (`Assets.mesh`). */
  worker: string
}

/** @param share 0 to 1 @param doing what is being done, such as "Reading knight.stl" */
export type OnProgress = (share: number, doing: string) => void

/**
 * Measures files in a worker, beside the page. The files stay in the browser.
 *
 * @param files STL, OBJ or 3MF; all parts of one figure
 * @returns what was measured of all of them together
 * @throws Refusal with a sentence to show, when they can't be measured; the signal's reason, when it is aborted
 */
export async function measure(
  files: readonly File[],
  { worker: address, unit, layerUm }: Options,
  onProgress: OnProgress,
  signal: AbortSignal,
): Promise<Measure> {
  signal.throwIfAborted()
  const worker = new Worker(address, { type: 'module' })
  let isLoaded = false
  try {
    return await new Promise<Measure>((resolve, reject) => {
      signal.addEventListener('abort', () => reject(signal.reason), { once: true })
      worker.addEventListener('error', () => reject(new Refusal(isLoaded ? tooMuch : notLoaded)))
      worker.addEventListener('message', ({ data }: MessageEvent<News>) => {
        isLoaded = true
        if (data.kind === 'progress') onProgress(data.share, data.doing)
        else if (data.kind === 'done') resolve(data.measure)
        else reject(new Refusal(data.sentence))
      })
      worker.postMessage({ files: [...files], unit, layerUm } satisfies Start)
    })
  } finally {
    worker.terminate()
  }
}

const notLoaded = 'The part of this page that measures could not be loaded. Load the page again.'
/** Said when the worker breaks down on its way, which is what a browser without memory does. */
const tooMuch = 'This browser could not hold the files. Try fewer parts at once, or a browser with more memory.'
