import { STLLoader } from 'three/addons/loaders/STLLoader.js'
import { Refusal } from '../refusal.ts'
import type { Solid } from '../solid.ts'
import { checkTriangles, megabytes, mostTextBytes } from './limits.ts'

const headBytes = 84
const triangleBytes = 50

/**
 * Reads an STL, binary or ASCII; many binary ones begin with "solid" as well.
 *
 * @returns in the file's own unit
 * @throws Refusal when it is neither, was cut off or counts its triangles wrong
 */
export function readStl(name: string, bytes: ArrayBuffer): Solid {
  return isText(bytes) ? readText(name, bytes) : readBinary(name, bytes)
}

function isText(bytes: ArrayBuffer): boolean {
  if (bytes.byteLength >= headBytes && bytes.byteLength === headBytes + countIn(bytes) * triangleBytes) return false
  const head = new TextDecoder('latin1').decode(bytes.slice(0, 1000))
  return /^[^a-z]{0,4}\s*solid\b/i.test(head) && !/[^\P{Cc}\s]/u.test(head)
}

const countIn = (bytes: ArrayBuffer) => new DataView(bytes).getUint32(80, true)

function readBinary(name: string, bytes: ArrayBuffer): Solid {
  if (bytes.byteLength < headBytes)
    throw new Refusal(`${name} is not an STL: it is too short even for the header of one.`)
  const promised = countIn(bytes)
  const held = Math.floor((bytes.byteLength - headBytes) / triangleBytes)
  if (promised > held) {
    throw new Refusal(
      `${name} says that it has ${count(promised)} triangles, but ends after ${count(held)}: it was cut off, or is not an STL.`,
    )
  }
  if (promised < held)
    throw new Refusal(
      `${name} says that it has ${count(promised)} triangles, but there is room for ${count(held)} in it.`,
    )
  checkTriangles(promised)
  return positionsOf(bytes.slice(0, headBytes + promised * triangleBytes))
}

function readText(name: string, bytes: ArrayBuffer): Solid {
  if (bytes.byteLength > mostTextBytes) {
    const most = megabytes(mostTextBytes)
    throw new Refusal(
      `${name} is a text STL of ${megabytes(bytes.byteLength)}; up to ${most} can be read. Save it as a binary STL.`,
    )
  }
  const text = new TextDecoder('latin1').decode(bytes)
  if (!/\bendsolid\b/i.test(text.slice(-2000))) throw new Refusal(`${name} has no end: it was cut off.`)
  const facets = text.match(/\bendfacet\b/gi)?.length ?? 0
  if (facets === 0) throw new Refusal(`There is not a single triangle in ${name}.`)
  // The loader knows the words in small letters only.
  const solid = positionsOf(/\bfacet\b/.test(text) ? bytes : new TextEncoder().encode(text.toLowerCase()).buffer)
  if (solid.length !== facets * 9)
    throw new Refusal(`${name} has triangles without three corners, or corners that are not numbers.`)
  return solid
}

function positionsOf(bytes: ArrayBuffer): Solid {
  return new STLLoader().parse(bytes).getAttribute('position')?.array ?? new Float32Array()
}

const count = (number: number) => number.toLocaleString('en')
