import { toMinor } from '../../../http/money.ts'
import type { NaivePlans } from '../../../planning/naive.ts'
import type { PlanResult } from '../../../planning/plan-result.ts'
import { printEstimate, usualMachine } from '../../../planning/printing.ts'
import { ratesOf } from '../../printing/resins/rules.ts'
import type { Spend, Spent } from '../spend/schema.ts'
import { type Drawn, printKey } from './draw.ts'
import type { RosterFacts } from './facts.ts'
import type { Naive, Outcome, PlannedPrint } from './stored-schema.ts'

const naiveKinds = ['sticker', 'cheapest', 'preferOwned', 'greedyThenDrop'] as const

/** What one would do without planning, to compare with. */
export function naiveOf(plans: NaivePlans): Naive[] {
  return naiveKinds.map((kind) => {
    const { totals, uncovered } = plans[kind]
    const { offersMinor, printMinor, looksMinor, bonusMinor } = totals
    const objectiveMinor = offersMinor + printMinor + looksMinor - bonusMinor
    return { kind, offersMinor, printMinor, looksMinor, objectiveMinor, uncovered: uncovered.length }
  })
}

/** A plan with how it is printed on the member's printer. */
export function outcomeOf(result: PlanResult, naive: Naive[], drawn: Drawn, facts: RosterFacts): Outcome {
  const { printer, crowding, spend } = facts
  return {
    result,
    naive,
    crowding,
    withoutRate: drawn.withoutRate,
    hurdles: drawn.hurdles,
    prints: result.plan.entries.map((entry) => printOf(entry, drawn, facts)),
    printer: printer && nameOf(printer),
    tooLarge: tooLargeIn(drawn),
    spent: spentBy(spend),
    resin: facts.resin,
    rates: ratesOf(facts.viewer.resin, facts.group),
  }
}

const spentBy = ({ beside: { buying, printing, other } }: Spend): Spent => ({
  offersMinor: toMinor(buying.actual),
  printMinor: toMinor(printing.actual),
  otherMinor: toMinor(other.actual),
})

const nameOf = ({ id, name }: { id: string; name: string }) => ({ id, name })

/** Candidates that are out for their size. */
function tooLargeIn({ instance: { candidates, entries } }: Drawn): Outcome['tooLarge'] {
  const pins = new Map(entries.map(({ id, pinnedFileId }) => [id, pinnedFileId]))
  return candidates
    .filter(({ entryId, fileId, fits = true }) => !fits && pins.get(entryId) !== fileId)
    .map(({ entryId, fileId }) => ({ entryId, fileId }))
}

type Planned = PlanResult['plan']['entries'][number]

/** What there is to print of an entry: whole copies, and plates, hours and resin of just these. */
function printOf({ entryId, fileId, models }: Planned, { prints }: Drawn, facts: RosterFacts): PlannedPrint {
  const print = prints.get(printKey(entryId, fileId))
  if (!print) throw new RangeError(`${fileId} is no candidate of ${entryId}`)
  const { copiesPerPlate, resinMlPerCopy, line, printer, foot } = print
  const { attemptsPerGood } = print.cost
  const task = { models, attemptsPerGood, copiesPerPlate, heightMm: facts.files.get(fileId)?.heightMm ?? null }
  const estimate = printEstimate(task, printer ?? usualMachine)
  return {
    entryId,
    fileId,
    kind: line.kind,
    copies: estimate.copies,
    resinMl: estimate.copies * resinMlPerCopy,
    expectedFailures: models * (attemptsPerGood - 1),
    estimate: printer && estimate,
    copiesPerPlate,
    otherPrinter: printer && printer.id !== facts.printer?.id ? nameOf(printer) : null,
    terms: {
      resinMinor: print.cost.resinForGoodMinor,
      platesMinor: print.cost.platesMinor,
      failuresMinor: print.cost.failuresMinor,
      snagsMinor: print.cost.snagTimeMinor,
    },
    ...(printer && { plate: { plateWidthMm: printer.plateWidthMm, plateDepthMm: printer.plateDepthMm } }),
    ...(foot && { foot }),
  }
}
