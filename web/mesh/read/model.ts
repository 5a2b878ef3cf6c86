import { SaxesParser, type SaxesTagNS } from 'saxes'
import { Refusal } from '../refusal.ts'
import { checkTriangles } from './limits.ts'
import { Numbers } from './numbers.ts'
import type { PartReader } from './package.ts'

/** An affine transform as 3MF writes it: three numbers a row, points as rows before it. */
export type Transform = readonly number[]

/** A copy of an object, put somewhere. */
export interface Placed {
  /** `path#id`. */
  object: string
  transform: Transform | null
}

/** A mesh, or other objects put together. */
export interface ModelObject {
  type: string
  points: Numbers
  triangles: Numbers
  components: Placed[]
}

/** A model part: what it defines and, in the first one, what is to be made. */
export interface Model {
  unitMm: number
  objects: Map<string, ModelObject>
  items: Placed[]
}

const core = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02'
const production = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06'
/** Extensions that change no shape, and the one that spreads a model over several parts. */
const understood = new Set([
  production,
  'http://schemas.microsoft.com/3dmanufacturing/material/2015/02',
  'http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07',
])

/** 3MF core specification 1.4, 3.4: the values of ST_Unit; a foot is 304.8 mm. */
const units: Record<string, number> = {
  micron: 0.001,
  millimeter: 1,
  centimeter: 10,
  inch: 25.4,
  foot: 304.8,
  meter: 1000,
}

/** Reads a 3D model part of a 3MF as its text comes. @param path of the part, which its objects' numbers are kept under */
export function modelReader(name: string, path: string): { reader: PartReader; model: Model } {
  const model: Model = { unitMm: 1, objects: new Map(), items: [] }
  const parser = new SaxesParser({ xmlns: true, position: false })
  let object: ModelObject | undefined
  const starts: Record<string, (tag: SaxesTagNS) => void> = {
    model: (tag) => readHead(name, tag, model),
    object(tag) {
      object = { type: text(tag, 'type') ?? 'model', points: new Numbers(), triangles: new Numbers(), components: [] }
      model.objects.set(`${path}#${text(tag, 'id')}`, object)
    },
    vertex: (tag) => object?.points.add(number(name, tag, 'x'), number(name, tag, 'y'), number(name, tag, 'z')),
    triangle(tag) {
      if (!object) return
      object.triangles.add(number(name, tag, 'v1'), number(name, tag, 'v2'), number(name, tag, 'v3'))
      if (object.triangles.length % 300_000 === 0) checkTriangles(object.triangles.length / 3)
    },
    component: (tag) => object?.components.push(placed(name, tag, path)),
    item: (tag) => model.items.push(placed(name, tag, path)),
  }
  parser.on('opentag', (tag) => {
    if (tag.uri === core && Object.hasOwn(starts, tag.local)) starts[tag.local]?.(tag)
  })
  parser.on('doctype', () => {
    throw new Refusal(`${name} has a document type in its model, which a 3MF may not have.`)
  })
  parser.on('error', () => {
    throw new Refusal(`${name} can’t be read as a 3MF: its model is damaged or was cut off.`)
  })
  return { model, reader: { text: (piece) => void parser.write(piece), end: () => void parser.close() } }
}

function readHead(name: string, tag: SaxesTagNS, model: Model): void {
  const unit = text(tag, 'unit') ?? 'millimeter'
  const unitMm = units[unit]
  if (unitMm === undefined) throw new Refusal(`${name} is in a unit that 3MF does not know: ${unit}.`)
  model.unitMm = unitMm
  for (const prefix of (text(tag, 'requiredextensions') ?? '').split(/\s+/).filter(Boolean)) {
    if (!understood.has(tag.ns?.[prefix] ?? ''))
      throw new Refusal(`${name} needs an extension of 3MF that can’t be read here (${prefix}). Save it as an STL.`)
  }
}

const text = (tag: SaxesTagNS, attribute: string): string | undefined => tag.attributes[attribute]?.value

function number(name: string, tag: SaxesTagNS, attribute: string): number {
  const value = text(tag, attribute)?.trim()
  const read = value ? Number(value) : Number.NaN
  if (!Number.isFinite(read))
    throw new Refusal(`${name} has a corner that is not a number: ${value ?? 'nothing at all'}.`)
  return read
}

function placed(name: string, tag: SaxesTagNS, path: string): Placed {
  const elsewhere = Object.values(tag.attributes).find(({ uri, local }) => uri === production && local === 'path')
  const object = `${elsewhere?.value.replace(/^\/+/, '') ?? path}#${text(tag, 'objectid')}`
  const transform = text(tag, 'transform')?.trim().split(/\s+/).map(Number)
  if (transform && (transform.length !== 12 || !transform.every(Number.isFinite)))
    throw new Refusal(`${name} does not say where a part goes: “${text(tag, 'transform')}” is not twelve numbers.`)
  return { object, transform: transform ?? null }
}
