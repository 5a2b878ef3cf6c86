import type { NaivePlans } from '../../../planning/naive.ts'
import type { PlanResult } from '../../../planning/plan-result.ts'
import { printEstimate } from '../../../planning/printing.ts'
import { type Drawn, printKey } from './draw.ts'
import { type RosterFacts, shapeOf } from './facts.ts'
import type { Naive, Outcome, PlannedPrint } from './stored-schema.ts'

const naiveKinds = ['sticker', 'cheapest', 'preferOwned', 'greedyThenDrop'] as const

/** What one would do without planning, to compare with. */
export function naiveOf(plans: NaivePlans): Naive[] {
  return naiveKinds.map((kind) => {
    const { totals, uncovered } = plans[kind]
    const { offersMinor, printMinor, looksMinor } = totals
    return { kind, offersMinor, printMinor, looksMinor, uncovered: uncovered.length }
  })
}

/** A plan with how it is printed on the member's printer. */
export function outcomeOf(result: PlanResult, naive: Naive[], drawn: Drawn, facts: RosterFacts): Outcome {
  const { printer, crowding } = facts
  return {
    ...{ result, naive, crowding, withoutRate: drawn.withoutRate, hurdles: drawn.hurdles },
    prints: result.plan.entries.map((entry) => printOf(entry, drawn, facts)),
    printer: printer && { id: printer.id, name: printer.name },
  }
}

type Planned = PlanResult['plan']['entries'][number]

function printOf({ entryId, fileId, models }: Planned, { prints }: Drawn, facts: RosterFacts): PlannedPrint {
  const print = prints.get(printKey(entryId, fileId))
  if (!print) throw new RangeError(`${fileId} is no candidate of ${entryId}`)
  const { attemptsPerGood, resinMlPerCopy, kind } = print
  const task = { models, attemptsPerGood, ...shapeOf(facts, fileId) }
  const estimate = facts.printer && printEstimate(task, facts.printer, facts.crowding)
  return {
    ...{ entryId, fileId, kind, resinMl: models * attemptsPerGood * resinMlPerCopy, estimate },
    copies: estimate?.copies ?? Math.ceil(models * attemptsPerGood - 1e-9),
  }
}
