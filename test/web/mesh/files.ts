import { strToU8, zipSync } from 'fflate'
import type { Shape } from './shapes.ts'

/** Bytes of a file as a browser hands them over. */
export function fileOf(name: string, content: string | Uint8Array): File {
  return new File([typeof content === 'string' ? content : new Uint8Array(content)], name)
}

/** @param header up to 80 letters @param told how many triangles it says that it has */
export function binaryStl(shape: Shape, header = 'made for a test', told = shape.length / 9): Uint8Array {
  const bytes = new Uint8Array(84 + (shape.length / 9) * 50)
  bytes.set(strToU8(header).subarray(0, 80))
  const view = new DataView(bytes.buffer)
  view.setUint32(80, told, true)
  for (const [at, value] of shape.entries()) view.setFloat32(96 + Math.floor(at / 9) * 50 + (at % 9) * 4, value, true)
  return bytes
}

export function asciiStl(shape: Shape): string {
  const facets = cornersOf(shape).map(
    (corners) =>
      `facet normal 0 0 0\n outer loop\n${corners.map((corner) => `  vertex ${corner.join(' ')}\n`).join('')} endloop\nendfacet\n`,
  )
  return `solid made for a test\n${facets.join('')}endsolid made for a test\n`
}

export function obj(shape: Shape): string {
  const corners = cornersOf(shape).flat()
  const faces = corners
    .filter((_, at) => at % 3 === 0)
    .map((_, face) => `f ${[1, 2, 3].map((corner) => face * 3 + corner).join(' ')}`)
  return `${corners.map((corner) => `v ${corner.join(' ')}`).join('\n')}\n${faces.join('\n')}\n`
}

/** Triangles of three corners. */
function cornersOf(shape: Shape): number[][][] {
  return Array.from({ length: shape.length / 9 }, (_, triangle) =>
    [0, 3, 6].map((corner) => shape.slice(triangle * 9 + corner, triangle * 9 + corner + 3)),
  )
}

export const coreNamespace = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02'

/** An object of a 3MF with a mesh. */
export function meshObject(id: number, shape: Shape, attributes = ''): string {
  const corners = cornersOf(shape).flat()
  const vertices = corners.map(([x, y, z]) => `<vertex x="${x}" y="${y}" z="${z}"/>`).join('')
  const triangles = corners
    .filter((_, at) => at % 3 === 0)
    .map((_, face) => `<triangle v1="${face * 3}" v2="${face * 3 + 1}" v3="${face * 3 + 2}"/>`)
  return `<object id="${id}" ${attributes}><mesh><vertices>${vertices}</vertices><triangles>${triangles.join('')}</triangles></mesh></object>`
}

export const modelXml = (objects: string, items: string, attributes = ''): string =>
  `<?xml version="1.0" encoding="UTF-8"?><model xmlns="${coreNamespace}" ${attributes}><resources>${objects}</resources><build>${items}</build></model>`

const relations = (target: string) =>
  `<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="${target}" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`

/** A package of a model and, perhaps, other parts. */
export function threeMf(
  model: string,
  others: Record<string, string | Uint8Array> = {},
  path = '3D/3dmodel.model',
): Uint8Array {
  const parts = { '_rels/.rels': relations(`/${path}`), [path]: model, ...others }
  return zipSync(
    Object.fromEntries(
      Object.entries(parts).map(([name, part]) => [name, typeof part === 'string' ? strToU8(part) : part]),
    ),
  )
}
