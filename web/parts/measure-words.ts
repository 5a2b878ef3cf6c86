import type { Measure } from '../mesh/measure.ts'

type Size = 'widthMm' | 'depthMm' | 'heightMm'
type Mesh = 'overlapping' | 'shells' | 'openEdges' | 'nonManifoldEdges' | 'invertedShells'
type Volume = 'volumeMl' | 'widestLayerMm2' | 'widestLayerAtMm'

/** The numbers of a measure that are said in words; null where the size was typed. */
export type MeasureNumbers = Pick<Measure, Size> & { [Key in Mesh | Volume]: Measure[Key] | null }

/** The same with what is drawn of it. */
export type ShownMeasure = MeasureNumbers & {
  [Key in 'front' | 'side' | 'above' | 'midAir' | 'layerUm']: Measure[Key] | null
}

const grouped = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 })
const tenths = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 1 })
const hundredths = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 2 })

/** "0.35", "8.2", "36", "1,100": as many digits as a person would say. */
export const figureWords = (value: number): string =>
  (value < 1 ? hundredths : value < 100 ? tenths : grouped).format(value)

/** "24 × 18 mm on the ground, 36 mm tall" */
export const sizeWords = ({ widthMm, depthMm, heightMm }: MeasureNumbers): string =>
  `${figureWords(widthMm)} × ${figureWords(depthMm)} mm on the ground, ${figureWords(heightMm)} mm tall`

/** "8.2 ml of resin", an upper bound where shells overlap; nothing where it is not known. */
export function resinOf({ volumeMl, overlapping }: MeasureNumbers): string | null {
  if (volumeMl === null) return null
  return `${overlapping ? 'at most ' : ''}${figureWords(volumeMl)} ml of resin`
}

/** "widest layer 240 mm² at 2.5 mm" */
export function widestWords({ widestLayerMm2: area, widestLayerAtMm: at }: MeasureNumbers): string | null {
  return area === null || at === null ? null : `widest layer ${figureWords(area)} mm² at ${figureWords(at)} mm`
}

const counted = (count: number, one: string, many = `${one}s`) => `${grouped.format(count)} ${count === 1 ? one : many}`

/** What the mesh is like, a sentence each, the worst first; empty where nobody looked. */
export function meshWords(measure: MeasureNumbers): string[] {
  const { shells, openEdges, nonManifoldEdges, invertedShells, overlapping } = measure
  if (shells === null) return []
  const wrong = [
    openEdges ? `${counted(openEdges, 'open edge')}: your slicer may fill them.` : '',
    nonManifoldEdges
      ? `${counted(nonManifoldEdges, 'edge')} where more than two faces meet: mostly harmless, sometimes a layer with a gap.`
      : '',
    invertedShells
      ? `${counted(invertedShells, 'shell is', 'shells are')} inside out: it may print as a hollow, or not at all.`
      : '',
    overlapping ? 'Shells overlap: the volume is the most it can be, and less than that is printed.' : '',
  ].filter(Boolean)
  const made = `Made of ${counted(shells, 'shell')}.`
  return wrong.length > 0 ? [...wrong, made] : [`${made} All of it is closed, and every face points outwards.`]
}

const withSupports: Record<string, string> = {
  'as supplied': 'with the supplied supports',
  'extra supports': 'with supplied and extra supports',
  'own supports': 'with own supports',
}

/** @param kind of supports that it was measured with; null: as it was sculpted */
export const supportsWords = (kind: string | null): string =>
  kind === null ? 'without supports' : (withSupports[kind] ?? kind)

const thirds = (at: number, of: number, words: [string, string, string]) =>
  words[Math.min(2, Math.max(0, Math.floor((3 * at) / of)))] ?? words[1]

/** "left, at the front": where a place is, seen from the front. */
export function placeWords({ xMm, yMm }: { xMm: number; yMm: number }, { widthMm, depthMm }: MeasureNumbers): string {
  const side = thirds(xMm, widthMm, ['left', 'in the middle', 'right'])
  const depth = thirds(yMm, depthMm, ['at the front', '', 'at the back'])
  return [side, depth].filter(Boolean).join(', ')
}
