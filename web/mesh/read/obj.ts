import { OBJLoader } from 'three/addons/loaders/OBJLoader.js'
import { Refusal } from '../refusal.ts'
import type { Solid } from '../solid.ts'
import { checkTriangles, megabytes, mostTextBytes } from './limits.ts'

/**
 * Reads an OBJ: the faces of all its objects as one solid. Textures, lines and points are left out.
 *
 * @returns in the file's own unit
 * @throws Refusal when it does not read as one
 */
export function readObj(name: string, bytes: ArrayBuffer): Solid {
  if (bytes.byteLength > mostTextBytes)
    throw new Refusal(`${name} is ${megabytes(bytes.byteLength)}; an OBJ may be up to ${megabytes(mostTextBytes)}.`)
  const text = new TextDecoder('latin1').decode(bytes)
  if (!/^f\s/m.test(text)) throw new Refusal(`${name} has no faces, so it is not an OBJ that could be printed.`)
  try {
    // With a line or a point among its faces, the loader would take a whole object for lines or points.
    return joined(new OBJLoader().parse(text.replace(/^[ \t]*[lp][ \t].*$/gm, '')).children)
  } catch (error) {
    if (error instanceof Refusal || error instanceof RangeError) throw error
    throw new Refusal(`${name} can’t be read as an OBJ; it may be damaged.`)
  }
}

function joined(children: ReturnType<OBJLoader['parse']>['children']): Solid {
  const lists = children.flatMap(({ isMesh, geometry }) =>
    isMesh ? (geometry.getAttribute('position')?.array ?? []) : [],
  )
  const length = lists.reduce((sum, list) => sum + list.length, 0)
  checkTriangles(length / 9)
  const solid = new Float32Array(length)
  let at = 0
  for (const list of lists) {
    solid.set(list, at)
    at += list.length
  }
  return solid
}
