import type { Instance } from './instance.ts'
import type { PlanResult } from './plan-result.ts'
import { Search } from './search.ts'

/**
 * A good plan without any search, in milliseconds: what to show first.
 *
 * @returns not proven, though it may well be a best one
 * @throws RangeError when the instance makes no sense
 */
export function greedyPlan(instance: Instance): PlanResult {
  return new Search(instance).result('time limit')
}
