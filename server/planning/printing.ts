export type Crowding = 'half empty' | 'about full' | 'packed'

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

/** Of a machine, what copies stand on. */
export type Plate = Pick<Machine, 'plateWidthMm' | 'plateDepthMm'>

/**
 * A small printer at 0.03 mm a layer, for whoever has none here: plates of foot models take it about four hours.
 * (Common practice, no source.)
 */
export const usualMachine: Machine = {
  plateWidthMm: 130,
  plateDepthMm: 80,
  buildHeightMm: 160,
  layerUm: 30,
  exposureS: 2.5,
  bottomLayers: 5,
  bottomExposureS: 30,
  cycleOverheadS: 7,
}

export type PrintTask = {
  /** good copies wanted */
  models: number
  /** expected attempts for each good one, at least 1 */
  attemptsPerGood: number
  /** with its supports; null where nobody knows it */
  heightMm: number | null
  /** as many as fit on one plate: 0 where not one does, null where the base is unknown */
  copiesPerPlate: number | null
}

export type PrintEstimate = {
  /** whole copies to print: the good ones, and the failures that are expected on the way */
  copies: number
  /** null where the base is unknown, or not one fits */
  plates: number | null
  hoursPerPlate: number | null
  hours: number | null
  /** false: too high for the machine, or not one copy fits on the plate */
  fits: boolean
}

/** What printing one file takes of plates and hours, each plate holding this file alone. */
export function printEstimate({ copiesPerPlate, heightMm, ...task }: PrintTask, machine: Machine): PrintEstimate {
  const copies = Math.ceil(task.models * task.attemptsPerGood - 1e-9)
  const isTooHigh = isTooHighFor(heightMm, machine)
  const plates = copiesPerPlate ? Math.ceil(copies / copiesPerPlate) : null
  const hoursPerPlate = heightMm === null || isTooHigh ? null : plateHours(heightMm, machine)
  return {
    copies,
    plates,
    hoursPerPlate,
    hours: plates === null || hoursPerPlate === null ? null : plates * hoursPerPlate,
    fits: fitsOn({ copiesPerPlate, heightMm }, machine),
  }
}

/** Whether a machine takes one copy at least, as far as its base and its height are known. */
export const fitsOn = (
  { copiesPerPlate, heightMm }: Pick<PrintTask, 'copiesPerPlate' | 'heightMm'>,
  machine: Machine,
) => copiesPerPlate !== 0 && !isTooHighFor(heightMm, machine)

const isTooHighFor = (heightMm: number | null, { buildHeightMm }: Machine) =>
  heightMm !== null && heightMm > buildHeightMm

/**
 * Hours that a plate takes, however many copies are on it: every layer is lit and lifted, the bottom ones are lit for
 * longer.
 */
export function plateHours(heightMm: number, machine: Machine): number {
  const layers = layersOf(heightMm, machine)
  const bottom = Math.min(machine.bottomLayers, layers)
  const seconds =
    layers * (machine.exposureS + machine.cycleOverheadS) + bottom * (machine.bottomExposureS - machine.exposureS)
  return seconds / 3600
}

/** Whole layers of so tall a print. */
export const layersOf = (heightMm: number, { layerUm }: Pick<Machine, 'layerUm'>): number =>
  Math.ceil((1000 * heightMm) / layerUm - 1e-9)
