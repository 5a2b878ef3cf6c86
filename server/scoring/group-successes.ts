import type { Successes } from './all-successes.ts'
import type { GroupFitted } from './group-fit.ts'
import { sculptorGrid } from './sculptor-grid.ts'
import { isEvident } from './sculptors.ts'
import { type Success, successOfPeriod, successOfPlate, successOnGrid } from './success.ts'

/** What is shown of every support set, printer period and plate of a group. */
export function successesOfGroup({
  supportSets,
  printerPeriods,
  plates,
  hyper,
  samples,
}: Omit<GroupFitted, 'standings' | 'shares'>): Successes {
  const ofSets = new Map<string, Success>()
  for (const sets of Map.groupBy(supportSets, ([, { group }]) => group).values()) {
    const grid = sculptorGrid(sets.map(([, set]) => set).filter(isEvident), hyper)
    for (const [name, set] of sets) ofSets.set(name, successOnGrid(grid, set))
  }
  return {
    supportSets: ofSets,
    printerPeriods: new Map(Array.from(printerPeriods, ([name, period]) => [name, successOfPeriod(period, hyper)])),
    plates: {
      loose: successOfPlate('loose', plates.loose),
      normal: successOfPlate('normal', plates.normal),
      packed: successOfPlate('packed', plates.packed),
    },
    samples,
  }
}
