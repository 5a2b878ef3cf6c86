import simplify from 'simplify-js'

/** Who waits at the door, from what has no file yet to what is painted; how wide a round base each stands on, in mm. */
const waiting: [file: string, baseMm: number][] = [
  ['nine-under-hoods', 25],
  ['reed-sentries', 25],
  ['he-who-poles', 30],
  ['called-from-the-hay', 25],
  ['riders-of-the-long-leg', 50],
]

/** Nobody who is not signed in sees a group's own shadows, so the door has some of the demo group's, drawn coarser. */
export function doorFigures(measures: Record<string, { front: string }>) {
  return waiting.map(([file, baseMm]) => {
    const measure = measures[file]
    if (!measure) throw new RangeError(`nobody has measured ${file}`)
    const rings = measure.front.split(';').map(coarser)
    const points = rings.flat()
    const front = rings.map((ring) => ring.map((point) => point.join()).join(' ')).join(';')
    return {
      front,
      widthMm: Math.max(...points.map(([x]) => x)),
      heightMm: Math.max(...points.map(([, y]) => y)),
      baseMm,
    }
  })
}

function coarser(ring: string): [x: number, y: number][] {
  const points = ring.split(' ').map((point) => {
    const [x = 0, y = 0] = point.split(',').map(Number)
    return { x, y }
  })
  return simplify(points, 0.35, true).map(({ x, y }) => [x, y])
}
