import { type Draws, drawsOf } from '../../scoring/draws.ts'

/** Numbers as the database keeps them. Both ends are little-endian machines, which all are that Node.js runs on. */
export function bytesOf(numbers: Uint16Array | Float32Array): Buffer {
  return Buffer.from(numbers.buffer, numbers.byteOffset, numbers.byteLength)
}

/** The draws of a node, as kept in 16 bits each. */
export function storedDraws(bytes: Buffer): Draws {
  return drawsOf(new Uint16Array(copyOf(bytes)))
}

export function storedReals(bytes: Buffer): Float32Array {
  return new Float32Array(copyOf(bytes))
}

/** A buffer may begin anywhere, numbers only at multiples of their size. */
function copyOf(bytes: Buffer): ArrayBuffer {
  return new Uint8Array(bytes).buffer
}
