import { type Foot, usualFoot } from '../../../planning/plate.ts'
import { type Plate, usualMachine } from '../../../planning/printing.ts'
import {
  type CostInput,
  type CostToTable,
  costToTable,
  type ExpectedCost,
  expectedCost,
} from '../../../scoring/cost.ts'
import type { Draws } from '../../../scoring/draws.ts'
import type { GroupDraws } from '../../../scoring/group-draws.ts'
import type { Crowding } from '../../../scoring/model.ts'
import type { LineSuccess } from '../../evidence/queries.ts'
import { costInput, type Rates } from '../../printing/chances/cost.ts'
import { copiesFitting } from '../../printing/plates/packing.ts'

/** What a print costs by: the group's settings with the resin that counts, and the machine and plate that it goes on. */
export interface Pricing {
  group: Rates
  draws: GroupDraws
  machine: Draws
  crowding: Crowding
  /** copies that go on one plate; 0 where not one fits */
  onPlate: (foot: Foot) => number
}

/** @param printer whose plates are filled; null: a usual one, for whoever has none or asks for anybody */
export const pricing = (terms: Omit<Pricing, 'onPlate'>, printer: Plate | null): Pricing => ({
  ...terms,
  onPlate: copiesFitting(printer ?? usualMachine, terms.crowding),
})

/** A file as far as its prints cost something. */
export interface PricedFile {
  /** null where it does not say: counted by the group's figure */
  resinMl: number | null
  /** what a copy covers; null where nobody knows: a foot model's base is taken for the money */
  foot: Foot | null
  /** of its open snags */
  minutes: number
}

/** So many good copies of a file, with the kind of support with which they cost least. */
export interface PricedPrint {
  line: LineSuccess
  /** without the price of the file */
  cost: ExpectedCost
  /** chance that a copy comes out: file, machine and plate; the costs rest on the same draws */
  success: Draws
  resinMlPerCopy: number
  /** 0 where not one fits, null where the base is not known */
  copiesPerPlate: number | null
  input: CostInput
}

/**
 * What the ranking and the planning count for so many good copies of a file. A plate holds this file alone, and no more
 * copies of it than are wanted; where not one fits on the printer, or nobody knows the base, that has to be taken for
 * something: one copy a plate, and a foot model's base.
 *
 * @param wanted good copies, whole
 * @returns undefined for a file that nothing is known of
 */
export function cheapestPrint(file: PricedFile, lines: readonly LineSuccess[], wanted: number, pricing: Pricing) {
  const copiesPerPlate = file.foot && pricing.onPlate(file.foot)
  const onPlate = Math.max(1, Math.min(wanted, copiesPerPlate ?? pricing.onPlate(usualFoot)))
  const resinMlPerCopy = file.resinMl ?? pricing.group.resinMlPerModel
  const priced = lines.map((line): PricedPrint => {
    const stages = { file: line.draws, machine: pricing.machine, group: pricing.draws, crowding: pricing.crowding }
    const input = costInput({ wanted, resinMlPerCopy, minutes: file.minutes, onPlate }, stages, pricing.group)
    const cost = expectedCost(input)
    return { line, cost, success: input.success, resinMlPerCopy, copiesPerPlate, input }
  })
  return priced.toSorted((one, other) => one.cost.costToTableMinor - other.cost.costToTableMinor)[0]
}

/** The whole cost of such a print, bad luck included. @param priceMinor of the file */
export const wholeCost = ({ input }: PricedPrint, priceMinor: number): CostToTable =>
  costToTable({ ...input, priceMinor })
