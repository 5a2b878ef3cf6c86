import { createHash } from 'node:crypto'
import { mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import sharp from 'sharp'
import { type FileKey, fileOf } from '../../db/demo/files/index.ts'
import { units } from '../../db/demo/units.ts'
import { measureSolids } from '../../web/mesh/measure-solids.ts'
import type { Outline } from '../../web/parts/outline.ts'
import { cast } from './cast.ts'
import { doorFigures } from './door.ts'
import { render } from './render.ts'
import { sceneOf, size } from './scenes.ts'
import { shots } from './shots.ts'

const demo = join(import.meta.dirname, '../../db/demo')
const door = join(import.meta.dirname, '../../web/parts/door-figures.json')

/** Measures every figure as a browser would, and takes the pictures: what the demo group shows. */
async function make(): Promise<void> {
  const measures = Object.fromEntries(Object.entries(cast).map(([file, figure]) => [file, measured(figure)]))
  write('measures.json', measures)
  writeFileSync(door, `${JSON.stringify(doorFigures(measures), null, 2)}\n`)
  const folder = join(demo, 'pictures')
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(folder)
  const pictures = []
  for (const [index, shot] of shots.entries()) pictures.push({ ...shot, ...(await taken(index, folder)) })
  write('pictures.json', pictures)
}

/** One entry a line, so that a diff shows which figure has changed. */
function write(name: string, entries: object): void {
  const lines = Object.entries(entries).map(
    ([key, entry]) => `${Array.isArray(entries) ? '' : `${JSON.stringify(key)}: `}${JSON.stringify(entry)}`,
  )
  const [open, close] = Array.isArray(entries) ? '[]' : '{}'
  writeFileSync(join(demo, name), `${open}\n${lines.join(',\n')}\n${close}\n`)
}

function measured(figure: () => Float32Array[]) {
  const { front, side, above, midAir: _, layerUm: __, ...numbers } = measureSolids(figure(), null)
  const rounded = Object.fromEntries(
    Object.entries(numbers).map(([name, value]) => [
      name,
      typeof value === 'number' ? Math.round(value * 100) / 100 : value,
    ]),
  )
  return { ...rounded, front: written(front), side: written(side), above: written(above) }
}

/** Rings as a line of text: "0,0 4,0 4,9;…", to a tenth of a millimetre. */
const written = (outline: Outline) =>
  outline
    .map((ring) => ring.map((point) => point.map((value) => Math.round(value * 10) / 10).join()).join(' '))
    .join(';')

async function taken(index: number, folder: string) {
  const shot = shots[index]
  if (!shot) throw new RangeError(`no picture ${index}`)
  const raw = { raw: { ...size, channels: 3 as const } }
  const pixels = render(sceneOf(shot, index, baseOf(shot.file)))
  const large = await sharp(pixels, raw).webp({ quality: 62, effort: 6 }).toBuffer()
  const small = await sharp(pixels, raw).resize(480, 360).webp({ quality: 58, effort: 6 }).toBuffer()
  const hash = createHash('sha256').update(large).digest('hex')
  writeFileSync(join(folder, `${hash}-1600.webp`), large)
  writeFileSync(join(folder, `${hash}-480.webp`), small)
  return { hash, ...size }
}

/** The longer side of a base runs along the front. */
function baseOf(key: FileKey): { across: number; deep: number } {
  const { about, model } = fileOf(key)
  const [first = 'fen-wardens'] = about.units
  const base = model.base === undefined ? units[first].base : model.base
  if (!base) return { across: 30, deep: 30 }
  const sides = base.slice(1) as number[]
  return { across: Math.max(...sides), deep: Math.min(...sides) }
}

await make()
