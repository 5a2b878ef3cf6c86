import { MaxRectsBin } from 'maxrects-packer/dist/maxrects-packer.mjs'
import { type Base, type Crowding, gapMm, type Machine } from './printing.ts'

/** Where a copy stands on the plate, in mm from its near left corner. */
export interface Placed {
  xMm: number
  yMm: number
  widthMm: number
  depthMm: number
  round: boolean
}

/** What one copy covers. */
export interface Foot {
  base: Base
  /** null where nobody has measured it */
  widestLayerMm2: number | null
}

/** What was measured of a file, as far as a plate needs it. */
export interface MeasuredFoot {
  widthMm: number
  depthMm: number
  widestLayerMm2: number | null
}

/** The measured foot print first; else the base; null where neither is known. */
export const footOf = (measured: MeasuredFoot | null | undefined, base: Base | null): Base | null =>
  measured ? { shape: 'rectangle', widthMm: measured.widthMm, lengthMm: measured.depthMm } : base

/**
 * Up to which share of its room a plate counts as half empty, and up to which as about full. The room is the plate's with
 * each copy's 3 mm; the widest layers are a share of the bare plate, since they pull at the film all at once when models
 * stand alike. (Common practice, no source.)
 */
export const crowdingLimits = {
  room: { 'half empty': 0.5, 'about full': 0.9 },
  widestLayers: { 'half empty': 0.2, 'about full': 0.4 },
} as const

/**
 * Packs copies on one plate, largest first, by the rectangles around their foot prints.
 *
 * @param gap between two of them, in mm
 * @returns in the order they were packed; undefined where not all of them fit
 */
export function packed(feet: readonly Base[], machine: Machine, gap = gapMm['about full']): Placed[] | undefined {
  const { plateWidthMm, plateDepthMm } = machine
  const plate = new MaxRectsBin(plateWidthMm, plateDepthMm, gap, { smart: false, pot: false, allowRotation: true })
  const placed = feet.toSorted((one, other) => area(other) - area(one)).map((foot) => placedOn(plate, foot))
  return placed.every((one) => one !== undefined) ? placed : undefined
}

function placedOn(plate: MaxRectsBin, foot: Base): Placed | undefined {
  const at = plate.add(foot.widthMm, lengthOf(foot), null)
  if (!at) return undefined
  return { xMm: at.x, yMm: at.y, widthMm: at.width, depthMm: at.height, round: foot.shape !== 'rectangle' }
}

/** The same as they will stand: with 3 mm between, or closer where they only fit so. */
export const layoutOf = (feet: readonly Base[], machine: Machine): Placed[] | undefined =>
  packed(feet, machine) ?? packed(feet, machine, gapMm.packed)

/**
 * How full a plate is, by the share of its room that is taken and by what its widest layers cover: the fuller of the two.
 * What does not fit with 3 mm between is packed.
 */
export function crowdingOf(feet: readonly Foot[], machine: Machine): Crowding {
  const bases = feet.map(({ base }) => base)
  if (!packed(bases, machine)) return 'packed'
  const gap = gapMm['about full']
  const { plateWidthMm, plateDepthMm } = machine
  const taken = sum(bases.map((base) => (base.widthMm + gap) * (lengthOf(base) + gap)))
  const layers = sum(feet.map(({ widestLayerMm2 }) => widestLayerMm2 ?? 0))
  return fuller(
    stepOf(taken / ((plateWidthMm + gap) * (plateDepthMm + gap)), crowdingLimits.room),
    stepOf(layers / (plateWidthMm * plateDepthMm), crowdingLimits.widestLayers),
  )
}

const steps: readonly Crowding[] = ['half empty', 'about full', 'packed']

function stepOf(share: number, limits: { readonly [Step in 'half empty' | 'about full']: number }): Crowding {
  if (share <= limits['half empty']) return 'half empty'
  return share <= limits['about full'] ? 'about full' : 'packed'
}

const fuller = (one: Crowding, other: Crowding): Crowding => (steps.indexOf(one) > steps.indexOf(other) ? one : other)

const lengthOf = ({ widthMm, lengthMm }: Base) => lengthMm ?? widthMm
const area = (base: Base) => base.widthMm * lengthOf(base)
const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0)
