import type { Instance } from '../../server/planning/instance.ts'
import type { PlanResult } from '../../server/planning/plan-result.ts'
import { planRoster } from '../../server/planning/plan-roster.ts'
import type { Solver } from '../../server/planning/solver.ts'
import { type Best, bestOfEveryPlan } from './every-plan.ts'
import { reprice } from './reprice.ts'
import { inGoodTime } from './rosters.ts'

/**
 * Plans a small roster and tries every plan; both with the models made smaller and by the solver alone, since the
 * former leaves little for it to do.
 *
 * @returns what is wrong with the planned one, or undefined
 */
export function wrongWith(instance: Instance, solver: Solver): string | undefined {
  const best = bestOfEveryPlan(instance)
  try {
    for (const reduces of [true, false]) {
      const result = planRoster(instance, { solver, until: inGoodTime(), reduces })
      const wrong = wrongIn(instance, result, best)
      if (wrong) return wrong
    }
    return undefined
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  }
}

function wrongIn(instance: Instance, result: PlanResult, best: Best): string | undefined {
  const { plan, proven, objectiveMinor, boundMinor } = result
  if (plan.uncovered.length !== best.uncovered) return `leaves out ${plan.uncovered.length}, not ${best.uncovered}`
  const { objective } = reprice(instance, plan)
  if (!isSame(objective, best.objective)) return `costs ${objective}, not ${best.objective}`
  if (!isSame(objectiveMinor, objective)) return `says ${objectiveMinor}, but costs ${objective}`
  if (!proven) return 'is not proven'
  return isSame(boundMinor ?? Number.NaN, objective) ? undefined : `is bounded by ${boundMinor}`
}

/** Sums of whole numbers are exact; parts of split entries are not quite. */
function isSame(one: number, other: number): boolean {
  return Math.abs(one - other) < 1e-6
}
