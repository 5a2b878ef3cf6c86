import type { MeasureNumbers } from '../../../../web/parts/measure-words.ts'
import type { FieldError } from '../../../http/problem.ts'

type Rings = [number, number][][]

interface Facts extends Omit<MeasureNumbers, 'openEdges' | 'nonManifoldEdges' | 'invertedShells'> {
  front: Rings | null
  side: Rings | null
  above: Rings | null
  midAir: { heightMm: number; xMm: number; yMm: number }[] | null
  layerUm: number | null
}

/** The outlines are drawn in cells and made simpler, so that they may reach past the size a little. */
const slackOf = (mm: number) => 0.5 + mm / 50

const mm3InMl = 1000

/**
 * What can't be true of one and the same figure, at its field; empty when all is well. What is typed by hand is rounded,
 * and what is measured is drawn in cells: 2 % more is accepted.
 */
export function implausible(measure: Facts): FieldError[] {
  const { widthMm, depthMm, heightMm } = measure
  const above = widthMm * depthMm
  return [
    ...tooMuch('/volumeMl', (measure.volumeMl ?? 0) * mm3InMl, above * heightMm * shellsOver(measure)),
    ...tooMuch('/widestLayerMm2', measure.widestLayerMm2 ?? 0, above),
    ...tooMuch('/widestLayerAtMm', measure.widestLayerAtMm ?? 0, heightMm),
    ...reachesOut('/front', measure.front, widthMm, heightMm),
    ...reachesOut('/side', measure.side, depthMm, heightMm),
    ...reachesOut('/above', measure.above, widthMm, depthMm),
    ...(measure.midAir ?? []).flatMap(({ heightMm: z, xMm: x, yMm: y }, index) =>
      isWithin(x, widthMm) && isWithin(y, depthMm) && isWithin(z, heightMm)
        ? []
        : [{ path: `/midAir/${index}`, message: 'It lies outside the figure.' }],
    ),
    ...((measure.midAir === null) === (measure.layerUm === null)
      ? []
      : [{ path: '/layerUm', message: 'Give the layer height together with what begins in mid-air, or neither.' }]),
  ]
}

/** Where shells overlap, each counts whole. */
const shellsOver = ({ overlapping, shells }: Facts) => (overlapping ? Math.max(1, shells ?? 1) : 1)

const tooMuch = (path: string, value: number, most: number): FieldError[] =>
  value > most * 1.02 + 0.01 ? [{ path, message: 'This is more than fits into a box of this size.' }] : []

const isWithin = (value: number, mm: number) => value >= -slackOf(mm) && value <= mm + slackOf(mm)

function reachesOut(path: string, outline: Rings | null, acrossMm: number, upMm: number): FieldError[] {
  const isInside = (outline ?? []).flat().every(([x, y]) => isWithin(x, acrossMm) && isWithin(y, upMm))
  return isInside ? [] : [{ path, message: 'The outline is larger than the size.' }]
}
