import { MaxRectsBin } from 'maxrects-packer/dist/maxrects-packer.mjs'
import type { Base, Crowding, Plate } from './printing.ts'

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
export function footOf(measured: MeasuredFoot | null | undefined, base: Base | null): Foot | null {
  if (!measured) return base && { base, widestLayerMm2: null }
  const { widthMm, depthMm, widestLayerMm2 } = measured
  return { base: { shape: 'rectangle', widthMm, lengthMm: depthMm }, widestLayerMm2 }
}

/** A foot model's, for files that say nothing of their base. (Common practice, no source.) */
export const usualFoot: Foot = { base: { shape: 'round', widthMm: 32 }, widestLayerMm2: null }

/** Between two copies, and where they stand as close as they can. (Common practice, no source.) */
const betweenMm = { usual: 3, close: 1 }

/**
 * Up to which share of its room a plate counts as half empty, and up to which as about full. The room is the plate's with
 * each copy's 3 mm; the widest layers are a share of the bare plate, since they pull at the film all at once when models
 * stand alike. (Common practice, no source.)
 */
export const crowdingLimits = {
  room: { 'half empty': 0.5, 'about full': 0.9 },
  widestLayers: { 'half empty': 0.2, 'about full': 0.4 },
} as const

/** A sum of many equal shares may come out a little over. */
const rounding = 1e-9

/** Nobody prints more of a file on one plate, and packing takes longer the more there are. */
const mostOnPlate = 200

export interface FilledPlate {
  places: Placed[]
  crowding: Crowding
}

/**
 * A plate as it will be packed: 3 mm between the copies, or closer where they only fit so; and how full that is, by the
 * share of its room that is taken and by what its widest layers cover, the fuller of the two. What does not fit with 3 mm
 * between is packed.
 *
 * @returns undefined where the copies do not fit at all
 */
export function filledPlate(feet: readonly Foot[], plate: Plate): FilledPlate | undefined {
  const bases = feet.map(({ base }) => base)
  const apart = packed(bases, plate, betweenMm.usual)
  if (apart.length === bases.length) return { places: apart, crowding: crowdingBy(sharesOf(feet, plate)) }
  const close = packed(bases, plate, betweenMm.close)
  return close.length === bases.length ? { places: close, crowding: 'packed' } : undefined
}

/**
 * How many copies go on a plate without its getting fuller than that; one always does if it fits.
 *
 * @returns 0 if not even one fits
 */
export function copiesOnPlate(foot: Foot, plate: Plate, crowding: Crowding): number {
  const many = Array.from({ length: mostOnPlate }, () => foot.base)
  if (crowding === 'packed') return packed(many, plate, betweenMm.close).length
  const fitting = packed(many, plate, betweenMm.usual).length
  const { room, widestLayers } = sharesOf([foot], plate)
  const most = Math.min(crowdingLimits.room[crowding] / room, crowdingLimits.widestLayers[crowding] / widestLayers)
  return Math.min(fitting, Math.max(1, Math.floor(most + rounding)))
}

/** Where these stand, largest first, by the rectangles around them: as many as fit before one does not. */
function packed(bases: readonly Base[], { plateWidthMm, plateDepthMm }: Plate, spaceMm: number): Placed[] {
  const plate = new MaxRectsBin(plateWidthMm, plateDepthMm, spaceMm, { smart: false, pot: false, allowRotation: true })
  const places: Placed[] = []
  for (const base of bases.toSorted((one, other) => area(other) - area(one))) {
    const at = plate.add(base.widthMm, lengthOf(base), null)
    if (!at) break
    const round = base.shape !== 'rectangle'
    places.push({ xMm: at.x, yMm: at.y, widthMm: at.width, depthMm: at.height, round })
  }
  return places
}

interface Shares {
  room: number
  widestLayers: number
}

function sharesOf(feet: readonly Foot[], { plateWidthMm, plateDepthMm }: Plate): Shares {
  const spaceMm = betweenMm.usual
  const taken = sum(feet.map(({ base }) => (base.widthMm + spaceMm) * (lengthOf(base) + spaceMm)))
  const layers = sum(feet.map(({ widestLayerMm2 }) => widestLayerMm2 ?? 0))
  return {
    room: taken / ((plateWidthMm + spaceMm) * (plateDepthMm + spaceMm)),
    widestLayers: layers / (plateWidthMm * plateDepthMm),
  }
}

function crowdingBy(shares: Shares): Crowding {
  const isUpTo = (crowding: 'half empty' | 'about full') =>
    shares.room <= crowdingLimits.room[crowding] + rounding &&
    shares.widestLayers <= crowdingLimits.widestLayers[crowding] + rounding
  if (isUpTo('half empty')) return 'half empty'
  return isUpTo('about full') ? 'about full' : 'packed'
}

const lengthOf = ({ widthMm, lengthMm }: Base) => lengthMm ?? widthMm
const area = (base: Base) => base.widthMm * lengthOf(base)
const sum = (numbers: readonly number[]) => numbers.reduce((total, one) => total + one, 0)
