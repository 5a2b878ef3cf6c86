import { Refusal } from '../refusal.ts'
import type { Solid } from '../solid.ts'
import { type Unit, unitMm } from '../units.ts'
import { checkTriangles, megabytes, mostBytes, mostFiles } from './limits.ts'
import { readObj } from './obj.ts'
import type { OnShare } from './package.ts'
import { readStl } from './stl.ts'
import { readThreeMf } from './three-mf.ts'

/** What is needed to know of a file before it is read. */
export interface Named {
  name: string
  size: number
}

/** @throws Refusal when there are no files, or of a kind that is not read, or more than a browser can hold */
export function checkFiles(files: readonly Named[]): void {
  if (files.length === 0) throw new Refusal('There is no file to measure.')
  for (const { name, size } of files) {
    if (!/\.(stl|obj|3mf)$/i.test(name)) throw new Refusal(`${name} is neither STL, OBJ nor 3MF.`)
    if (size === 0) throw new Refusal(`${name} is empty.`)
  }
  if (files.length > mostFiles)
    throw new Refusal(`These are ${files.length} files; one figure can have up to ${mostFiles}.`)
  const bytes = files.reduce((sum, { size }) => sum + size, 0)
  if (bytes > mostBytes)
    throw new Refusal(`That is ${megabytes(bytes)}; up to ${megabytes(mostBytes)} can be measured at once.`)
}

/**
 * Reads one file.
 *
 * @param unit of what doesn't say it itself
 * @returns its solids in mm
 * @throws Refusal when it can't be read
 */
export function readFile(name: string, bytes: ArrayBuffer, unit: Unit, onShare: OnShare): Solid[] {
  const solids = /\.3mf$/i.test(name)
    ? readThreeMf(name, bytes, onShare)
    : [inMm(/\.obj$/i.test(name) ? readObj(name, bytes) : readStl(name, bytes), unitMm[unit])]
  for (const solid of solids) checkNumbers(name, solid)
  if (solids.every(({ length }) => length === 0)) throw new Refusal(`There is not a single triangle in ${name}.`)
  return solids
}

function inMm(solid: Solid, factor: number): Solid {
  if (factor !== 1) for (let at = 0; at < solid.length; at++) solid[at] = (solid[at] as number) * factor
  checkTriangles(solid.length / 9)
  return solid
}

function checkNumbers(name: string, solid: Solid): void {
  for (let at = 0; at < solid.length; at++) {
    const value = solid[at] as number
    // NaN and both infinities give NaN.
    if (value - value !== 0) throw new Refusal(`${name} has corners that are not numbers: it is damaged.`)
  }
}
