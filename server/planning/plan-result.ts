import type { Plan } from './plan.ts'

/** A plan and how good it is known to be. */
export type PlanResult = {
  plan: Plan
  /** no other plan leaves fewer entries out, and none that leaves as few out costs less */
  proven: boolean
  /** no other plan leaves fewer entries out; costs are not looked at before that is proven */
  coverProven: boolean
  /** offers + printing + looks - bonuses: what the plan was chosen by, and no price */
  objectiveMinor: number
  /** no plan that leaves as few out has a smaller objective; null while nothing is known */
  boundMinor: number | null
  /** (objective - bound) / objective, 0 where proven */
  gap: number | null
  ended: 'proven' | 'time limit' | 'stopped' | 'failed'
  /** what went wrong where it failed; the plan is the best that was known by then */
  failure?: string
  /** what each theme would come to, first without any; empty unless they were solved one by one */
  themes: ThemePlan[]
  ms: number
}

export type ThemePlan = {
  styleTag: string | null
  uncovered: number
  offersMinor: number
  printMinor: number
  objectiveMinor: number
  proven: boolean
}

export type Progress = {
  /** first the fewest entries left out, then the least cost */
  phase: 'cover' | 'cost'
  /** best so far: entries left out, or minor units of the objective */
  incumbent: number
  bound: number | null
  gap: number | null
}

/** @returns relative distance of a plan from the bound, null where there is none */
export function gapOf(objective: number, bound: number | null): number | null {
  if (bound === null) return null
  const distance = Math.max(0, objective - bound)
  return distance === 0 ? 0 : distance / Math.max(Math.abs(objective), 1e-9)
}
