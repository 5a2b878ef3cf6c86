import type { Solid } from './solids.ts'

/** What stands in a picture, and what it is painted with. */
export interface Piece {
  solid: Solid
  colour: readonly [red: number, green: number, blue: number]
}

export interface Scene {
  pieces: readonly Piece[]
  /** What they stand on. */
  ground: readonly [red: number, green: number, blue: number]
  width: number
  height: number
}

type Vector = [number, number, number]

// The lamp stands in front at the left and above; the camera looks down a little, as one does at a desk.
const lamp = unit([-0.55, -0.6, 0.75])
const tilt = (20 * Math.PI) / 180

/**
 * Draws figures like a photograph on a desk: one lamp, light from the room, a soft shadow, paler towards the top as primer
 * sprayed from above is.
 *
 * @returns red, green, blue of each pixel, row by row from the top
 */
export function render({ pieces, ground, width, height }: Scene): Uint8Array {
  const camera = framing(pieces, width, height)
  const depth = new Float32Array(width * height).fill(Infinity)
  const colour = new Float32Array(width * height * 3)
  backdrop(colour, ground, width, height)
  shade(colour, softened(shadowOf(pieces, camera, width, height), width, height))
  for (const piece of pieces) drawPiece(piece, camera, { depth, colour, width, height })
  return Uint8Array.from(colour, (value) => Math.round(255 * Math.min(1, Math.max(0, value)) ** (1 / 2.2)))
}

interface Camera {
  /** Of a point: pixels from the left and the top, and how far away it is. */
  see(point: Vector): Vector
  topMm: number
}

/** As near as lets everything stand in the picture with some air around it. */
function framing(pieces: readonly Piece[], width: number, height: number): Camera {
  const turned = ([x, y, z]: Vector): Vector => [
    x,
    y * Math.sin(tilt) + z * Math.cos(tilt),
    y * Math.cos(tilt) - z * Math.sin(tilt),
  ]
  const low: Vector = [Infinity, Infinity, 0]
  const high: Vector = [-Infinity, -Infinity, 0]
  let topMm = 1
  for (const { solid } of pieces)
    for (let at = 0; at < solid.length; at += 3) {
      const [x, up] = turned(corner(solid, at))
      low[0] = Math.min(low[0], x)
      high[0] = Math.max(high[0], x)
      low[1] = Math.min(low[1], up)
      high[1] = Math.max(high[1], up)
      topMm = Math.max(topMm, solid[at + 2] as number)
    }
  const scale = Math.min((width * 0.84) / (high[0] - low[0]), (height * 0.82) / (high[1] - low[1]))
  const [middle, centre] = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2]
  return {
    topMm,
    see: (point) => {
      const [x, up, away] = turned(point)
      return [width / 2 + (x - middle) * scale, height * 0.52 - (up - centre) * scale, away]
    },
  }
}

function backdrop(colour: Float32Array, ground: Scene['ground'], width: number, height: number): void {
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const far = 1 - y / height
      const edge = ((x / width - 0.45) ** 2 + (y / height - 0.55) ** 2) * 0.9
      const light = Math.max(0.15, 1 - far * 0.45 - edge)
      ground.forEach((channel, index) => {
        colour[(y * width + x) * 3 + index] = channel * light
      })
    }
}

/** How much of the ground lies in shadow, pixel by pixel. */
function shadowOf(pieces: readonly Piece[], { see }: Camera, width: number, height: number): Float32Array {
  const covered = new Float32Array(width * height)
  for (const { solid } of pieces)
    for (let at = 0; at < solid.length; at += 9) {
      const corners = [0, 3, 6].map((next) => {
        const [x, y, z] = corner(solid, at + next)
        return see([x - (lamp[0] / lamp[2]) * z, y - (lamp[1] / lamp[2]) * z, 0])
      })
      fillTriangle(corners as [Vector, Vector, Vector], width, height, (pixel) => {
        covered[pixel] = 1
      })
    }
  return covered
}

/** Three passes of a running mean each way come near a Gaussian. */
function softened(values: Float32Array, width: number, height: number): Float32Array {
  let from = values
  for (let pass = 0; pass < 3; pass++) from = meanDown(meanAlong(from, width, height, 4), width, height, 3)
  return from
}

const meanAlong = (values: Float32Array, width: number, height: number, reach: number) =>
  values.map((_, pixel) => {
    const [x, row] = [pixel % width, Math.floor(pixel / width) * width]
    let sum = 0
    for (let step = -reach; step <= reach; step++)
      sum += values[row + Math.min(width - 1, Math.max(0, x + step))] as number
    return height > 0 ? sum / (2 * reach + 1) : 0
  })

const meanDown = (values: Float32Array, width: number, height: number, reach: number) =>
  values.map((_, pixel) => {
    const [x, y] = [pixel % width, Math.floor(pixel / width)]
    let sum = 0
    for (let step = -reach; step <= reach; step++)
      sum += values[Math.min(height - 1, Math.max(0, y + step)) * width + x] as number
    return sum / (2 * reach + 1)
  })

function shade(colour: Float32Array, shadow: Float32Array): void {
  shadow.forEach((share, pixel) => {
    for (let channel = 0; channel < 3; channel++)
      colour[pixel * 3 + channel] = (colour[pixel * 3 + channel] as number) * (1 - 0.72 * share)
  })
}

interface Canvas {
  depth: Float32Array
  colour: Float32Array
  width: number
  height: number
}

function drawPiece({ solid, colour: paint }: Piece, { see, topMm }: Camera, canvas: Canvas): void {
  const normals = smoothNormals(solid)
  for (let at = 0; at < solid.length; at += 9) {
    const corners = [0, 3, 6].map((next) => see(corner(solid, at + next))) as [Vector, Vector, Vector]
    const lights = [0, 3, 6].map((next) =>
      lightOn(corner(normals, at + next), (solid[at + next + 2] as number) / topMm),
    )
    fillTriangle(corners, canvas.width, canvas.height, (pixel, [a, b, c]) => {
      const away = a * corners[0][2] + b * corners[1][2] + c * corners[2][2]
      if (away >= (canvas.depth[pixel] as number)) return
      canvas.depth[pixel] = away
      const light = a * (lights[0] as number) + b * (lights[1] as number) + c * (lights[2] as number)
      paint.forEach((channel, index) => {
        canvas.colour[pixel * 3 + index] = channel * light
      })
    })
  }
}

/** Lambert's law for the lamp, some light from the room above, and a little more of it higher up. */
function lightOn(normal: Vector, height: number): number {
  const facing = Math.max(0, normal[0] * lamp[0] + normal[1] * lamp[1] + normal[2] * lamp[2])
  return 0.16 + 0.14 * (normal[2] + 1) + 0.78 * facing + 0.1 * height
}

/** Normals at the corners: those of neighbours that meet at less than 50 degrees run into one another. */
function smoothNormals(solid: Solid): Float32Array {
  const faces: { normal: Vector; weight: number }[] = []
  const at = new Map<string, number[]>()
  for (let start = 0; start < solid.length; start += 9) {
    const [a, b, c] = [corner(solid, start), corner(solid, start + 3), corner(solid, start + 6)]
    const cross: Vector = [
      (b[1] - a[1]) * (c[2] - a[2]) - (b[2] - a[2]) * (c[1] - a[1]),
      (b[2] - a[2]) * (c[0] - a[0]) - (b[0] - a[0]) * (c[2] - a[2]),
      (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]),
    ]
    const face = faces.push({ normal: unit(cross), weight: Math.hypot(...cross) }) - 1
    for (const point of [a, b, c]) {
      const key = point.map((value) => value.toFixed(2)).join()
      at.set(key, [...(at.get(key) ?? []), face])
    }
  }
  const normals = new Float32Array(solid.length)
  for (let start = 0; start < solid.length; start += 3) {
    const own = faces[Math.floor(start / 9)]?.normal ?? [0, 0, 1]
    const sum: Vector = [0, 0, 0]
    for (const face of at.get(
      corner(solid, start)
        .map((value) => value.toFixed(2))
        .join(),
    ) ?? []) {
      const { normal, weight } = faces[face] ?? { normal: own, weight: 0 }
      const together = normal[0] * own[0] + normal[1] * own[1] + normal[2] * own[2]
      if (together > 0.64) for (const axis of [0, 1, 2] as const) sum[axis] += normal[axis] * weight
    }
    normals.set(unit(sum), start)
  }
  return normals
}

/** Every pixel whose middle lies in the triangle, with the weights of its corners there. */
function fillTriangle(
  [a, b, c]: [Vector, Vector, Vector],
  width: number,
  height: number,
  each: (pixel: number, weights: Vector) => void,
): void {
  const area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
  if (area === 0) return
  const [left, right] = [
    Math.max(0, Math.floor(Math.min(a[0], b[0], c[0]))),
    Math.min(width - 1, Math.ceil(Math.max(a[0], b[0], c[0]))),
  ]
  const [top, bottom] = [
    Math.max(0, Math.floor(Math.min(a[1], b[1], c[1]))),
    Math.min(height - 1, Math.ceil(Math.max(a[1], b[1], c[1]))),
  ]
  for (let y = top; y <= bottom; y++)
    for (let x = left; x <= right; x++) {
      const [px, py] = [x + 0.5, y + 0.5]
      const wb = ((px - a[0]) * (c[1] - a[1]) - (py - a[1]) * (c[0] - a[0])) / area
      const wc = ((b[0] - a[0]) * (py - a[1]) - (b[1] - a[1]) * (px - a[0])) / area
      if (wb >= 0 && wc >= 0 && wb + wc <= 1) each(y * width + x, [1 - wb - wc, wb, wc])
    }
}

const corner = (values: Float32Array, at: number): Vector => [
  values[at] as number,
  values[at + 1] as number,
  values[at + 2] as number,
]

function unit(vector: Vector): Vector {
  const length = Math.hypot(...vector) || 1
  return [vector[0] / length, vector[1] / length, vector[2] / length]
}
