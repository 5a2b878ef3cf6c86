import type { Group } from '../../../http/group.ts'
import { allGood, type Stages, successOf } from '../../../scoring/chances.ts'
import { oncePerRow } from '../../../scoring/once.ts'

/** What printing costs by: the group's settings, with the resin that counts. */
export type Rates = Pick<
  Group,
  | 'resinGramsPerMl'
  | 'resinPricePerKgMinor'
  | 'resinMlPerModel'
  | 'cleanUpMinor'
  | 'cleanUpPerPlateMinor'
  | 'perPlateMinor'
  | 'timePerHourMinor'
>

interface Counted {
  wanted: number
  resinMlPerCopy: number
  minutes: number
  onPlate: number
}

/** What so many good copies of a file cost to print, asked as the scoring wants it; the file itself is free. */
export function costInput({ wanted, resinMlPerCopy, minutes, onPlate }: Counted, stages: Stages, rates: Rates) {
  const success = successOf(stages)
  return {
    wanted,
    priceMinor: 0,
    resinMlPerCopy,
    copiesPerPlate: onPlate,
    densityGPerMl: rates.resinGramsPerMl,
    resinPricePerKgMinor: rates.resinPricePerKgMinor,
    cleanUpPerFailedCopyMinor: rates.cleanUpMinor,
    cleanUpPerFailedPlateMinor: rates.cleanUpPerPlateMinor,
    perPlateMinor: rates.perPlateMinor,
    snagMinutes: minutes,
    timePerHourMinor: rates.timePerHourMinor,
    success,
    plateFails: plateFails([success, onPlate], () => 1 - allGood(stages, [onPlate])),
  }
}

/** Of the draws of success, which are the same row for the same stages, and the copies on a plate. */
const plateFails = oncePerRow<number>()
