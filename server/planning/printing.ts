import { MaxRectsBin } from 'maxrects-packer/dist/maxrects-packer.mjs'

export type Crowding = 'loose' | 'normal' | 'packed'

export type Base = { shape: 'round' | 'oval' | 'rectangle'; widthMm: number; lengthMm?: number | null }

/** A member's printer, by its plate and what a layer takes. */
export type Machine = {
  plateWidthMm: number
  plateDepthMm: number
  buildHeightMm: number
  layerUm: number
  exposureS: number
  bottomLayers: number
  bottomExposureS: number
  /** lifting, dropping and resting, for every layer */
  cycleOverheadS: number
}

export type PrintTask = {
  /** good copies wanted */
  models: number
  /** expected attempts for each good one, at least 1 */
  attemptsPerGood: number
  /** with its supports; null where nobody knows it */
  heightMm: number | null
  base: Base | null
}

export type PrintEstimate = {
  /** good ones and expected failures */
  copies: number
  /** null where the base is unknown */
  copiesPerPlate: number | null
  plates: number | null
  hoursPerPlate: number | null
  hours: number | null
  /** false: too high for the machine, or not one copy fits on the plate */
  fits: boolean
}

/** Between two copies (common practice, no source). */
const gapMm: Record<Crowding, number> = { loose: 3, normal: 3, packed: 1 }
/** Of what would fit with that gap (common practice, no source). */
const filled: Record<Crowding, number> = { loose: 0.5, normal: 1, packed: 1 }

/** Nobody prints more on one plate, and packing takes longer the more there are. */
const mostOnPlate = 200

/** What printing one entry takes of plates and hours, each plate holding this file alone. */
export function printEstimate(task: PrintTask, machine: Machine, crowding: Crowding): PrintEstimate {
  const copies = Math.ceil(task.models * task.attemptsPerGood - 1e-9)
  const copiesPerPlate = task.base && copiesOnPlate(task.base, machine, crowding)
  const isTooHigh = task.heightMm !== null && task.heightMm > machine.buildHeightMm
  const plates = copiesPerPlate ? Math.ceil(copies / copiesPerPlate) : null
  const hoursPerPlate = task.heightMm === null || isTooHigh ? null : plateHours(task.heightMm, machine)
  return {
    copies,
    copiesPerPlate,
    plates,
    hoursPerPlate,
    hours: plates === null || hoursPerPlate === null ? null : plates * hoursPerPlate,
    fits: copiesPerPlate !== 0 && !isTooHigh,
  }
}

/**
 * How many copies go on a plate by the rectangles around their bases.
 *
 * @returns 0 if not even one fits
 */
export function copiesOnPlate(base: Base, machine: Machine, crowding: Crowding): number {
  const { plateWidthMm, plateDepthMm } = machine
  const gap = gapMm[crowding]
  const [width, length] = [base.widthMm, base.lengthMm ?? base.widthMm]
  const plate = new MaxRectsBin(plateWidthMm, plateDepthMm, gap, { smart: false, pot: false, allowRotation: true })
  let fitting = 0
  while (fitting < mostOnPlate && plate.add(width, length, null)) fitting++
  return fitting === 0 ? 0 : Math.max(1, Math.floor(fitting * filled[crowding]))
}

/**
 * Hours that a plate takes, however many copies are on it: every layer is lit and lifted, the bottom ones are lit for
 * longer.
 */
export function plateHours(heightMm: number, machine: Machine): number {
  const layers = Math.ceil((1000 * heightMm) / machine.layerUm - 1e-9)
  const bottom = Math.min(machine.bottomLayers, layers)
  const seconds =
    layers * (machine.exposureS + machine.cycleOverheadS) + bottom * (machine.bottomExposureS - machine.exposureS)
  return seconds / 3600
}
