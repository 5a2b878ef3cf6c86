import { fromMinor, toMinor } from '../../../http/money.ts'
import { allGood, type Stages, successOf } from '../../../scoring/chances.ts'
import { expectedCost } from '../../../scoring/cost.ts'
import { meanOf } from '../../../scoring/draws.ts'
import { drawsOfMachineInOrder, drawsOfNewLine, groupDrawsBeforeReports } from '../../../scoring/group-draws.ts'
import type { Settings } from './schema.ts'

/** What the example is of: round numbers, common practice, no source. */
export const exampleOf = { wanted: 10, onPlate: 8, snagMinutes: 30, notFielding: 0.3 }

/** What the settings can be turned by, each by itself. */
const turned = [
  'looksWorth',
  'resinPricePerKg',
  'resinGramsPerMl',
  'resinMlPerModel',
  'perPlate',
  'cleanUp',
  'cleanUpPerPlate',
  'timePerHour',
] as const
const by = 1.2

/** How likely copies of a file that nobody has printed are to come out, on any machine in good order; worked out once. */
let chances: { success: Stages['file']; plateFails: number } | undefined

function chancesAtFirst() {
  const group = groupDrawsBeforeReports()
  const file = drawsOfNewLine(group)
  const stages: Stages = { file, machine: drawsOfMachineInOrder(group), group, crowding: 'about full' }
  return { success: successOf(stages), plateFails: 1 - allGood(stages, [exampleOf.onPlate]) }
}

type Sums = Record<(typeof turned)[number], number>

/** The terms of the example in minor units, by the code that ranks. */
function termsOf(sums: Sums) {
  chances ??= chancesAtFirst()
  const { wanted, onPlate, snagMinutes, notFielding } = exampleOf
  const cost = expectedCost({
    ...chances,
    wanted,
    priceMinor: 0,
    copiesPerPlate: onPlate,
    snagMinutes,
    resinMlPerCopy: sums.resinMlPerModel,
    densityGPerMl: sums.resinGramsPerMl,
    resinPricePerKgMinor: sums.resinPricePerKg,
    cleanUpPerFailedCopyMinor: sums.cleanUp,
    cleanUpPerFailedPlateMinor: sums.cleanUpPerPlate,
    perPlateMinor: sums.perPlate,
    timePerHourMinor: sums.timePerHour,
  })
  const looksMinor = Math.round(wanted * notFielding * sums.looksWorth)
  return { ...cost, looksMinor, totalMinor: cost.costToTableMinor + looksMinor }
}

/**
 * Ten models counted by the settings as they are, the price of their file left out, and how much more they would be ranked
 * by if one setting were a fifth higher.
 */
export function settingsExample(settings: Settings) {
  const { currency, resinGramsPerMl, resinMlPerModel } = settings
  const sums: Sums = {
    resinGramsPerMl,
    resinMlPerModel,
    looksWorth: toMinor(settings.looksWorth),
    resinPricePerKg: toMinor(settings.resinPricePerKg),
    perPlate: toMinor(settings.perPlate),
    cleanUp: toMinor(settings.cleanUp),
    cleanUpPerPlate: toMinor(settings.cleanUpPerPlate),
    timePerHour: toMinor(settings.timePerHour),
  }
  const terms = termsOf(sums)
  const money = (minor: number) => fromMinor(minor, currency)
  return {
    ...exampleOf,
    comesOut: chances ? meanOf(chances.success) : 0,
    expectedFailures: terms.expectedFailures,
    resin: money(terms.resinForGoodMinor),
    plates: money(terms.platesMinor),
    failures: money(terms.failuresMinor),
    snags: money(terms.snagTimeMinor),
    looks: money(terms.looksMinor),
    total: money(terms.totalMinor),
    more: turned.map((setting) => ({
      setting,
      more: money(termsOf({ ...sums, [setting]: sums[setting] * by }).totalMinor - terms.totalMinor),
    })),
  }
}
