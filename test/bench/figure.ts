/** Writes triangles into a binary STL. */
class StlWriter {
  readonly bytes: Uint8Array<ArrayBuffer>
  readonly #view: DataView
  #at = 84

  constructor(triangles: number) {
    this.bytes = new Uint8Array(84 + triangles * 50)
    this.#view = new DataView(this.bytes.buffer)
    this.#view.setUint32(80, triangles, true)
  }

  triangle(...corners: readonly Point[]): void {
    corners.forEach((corner, place) => {
      for (let axis = 0; axis < 3; axis++)
        this.#view.setFloat32(this.#at + 12 + place * 12 + axis * 4, corner[axis] as number, true)
    })
    this.#at += 50
  }
}

type Point = readonly [x: number, y: number, z: number]

/** Sides and rings of each support. */
const [sides, rings] = [16, 40]
const perSupport = sides * (2 * rings + 2)

/**
 * A binary STL of a figure as they are sculpted: a bumpy body, 50 mm high, on a raft with 150 supports that reach into
 * it; so fine that a triangle is about a tenth of a millimetre wide.
 *
 * @param triangles about so many
 */
export function figureStl(triangles: number): Uint8Array<ArrayBuffer> {
  const supports = 150
  const rows = Math.round(Math.sqrt((triangles - supports * perSupport) / 4))
  const columns = rows * 2
  const writer = new StlWriter(columns * (2 * rows - 2) + supports * perSupport)
  addBody(writer, rows, columns)
  for (let support = 0; support < supports; support++) {
    const [angle, out] = [support * 2.39996, 12 * Math.sqrt((support + 0.5) / supports)]
    addSupport(writer, out * Math.cos(angle), out * Math.sin(angle))
  }
  return writer.bytes
}

/** Between two poles, its corners out by waves of several lengths. */
function addBody(writer: StlWriter, rows: number, columns: number): void {
  let below = ringOf(0, rows, columns)
  for (let row = 1; row <= rows; row++) {
    const above = ringOf(row, rows, columns)
    for (let column = 0; column < columns; column++) {
      const next = (column + 1) % columns
      const [a, b, c, d] = [below[column], below[next], above[next], above[column]] as [Point, Point, Point, Point]
      if (row > 1) writer.triangle(a, b, c)
      if (row < rows) writer.triangle(a, c, d)
    }
    below = above
  }
}

function ringOf(row: number, rows: number, columns: number): Point[] {
  if (row === 0 || row === rows) return Array(columns).fill([0, 0, row === 0 ? 4 : 50])
  const up = row / rows
  return Array.from({ length: columns }, (_, column): Point => {
    const around = (2 * Math.PI * column) / columns
    const waves = 1 + 0.25 * Math.sin(9 * up + 2 * around) + 0.06 * Math.sin(70 * up) * Math.sin(23 * around)
    const out = 13 * Math.sin(Math.PI * up) ** 0.7 * waves
    return [out * Math.cos(around), out * Math.sin(around), 4 + 46 * up]
  })
}

/** From the plate 20 mm up, 0.6 mm thick. */
function addSupport(writer: StlWriter, x: number, y: number): void {
  const point = (ring: number, side: number): Point => {
    const angle = (2 * Math.PI * (side % sides)) / sides
    return [x + 0.3 * Math.cos(angle), y + 0.3 * Math.sin(angle), (20 * ring) / rings]
  }
  for (let side = 0; side < sides; side++) {
    for (let ring = 0; ring < rings; ring++) {
      const [a, b] = [point(ring, side), point(ring, side + 1)]
      const [c, d] = [point(ring + 1, side + 1), point(ring + 1, side)]
      writer.triangle(a, b, c)
      writer.triangle(a, c, d)
    }
    writer.triangle([x, y, 0], point(0, side + 1), point(0, side))
    writer.triangle([x, y, 20], point(rings, side), point(rings, side + 1))
  }
}
