import { beforeAll, expect, test } from 'vitest'
import { openSolver, type Solver } from '../../server/planning/solver.ts'
import { wrongWith } from './compare-plans.ts'
import { smallRoster } from './small-rosters.ts'

let solver: Solver
beforeAll(async () => {
  solver = await openSolver()
})

/** `npm run brute-force` tries 500 of each. */
test.each(['mixed', 'hard'] as const)('60 %s rosters are planned as well as any plan could be', (kind) => {
  const wrong: string[] = []
  for (let seed = 1; seed <= 60; seed++) {
    const reason = wrongWith(smallRoster(kind, seed), solver)
    if (reason) wrong.push(`${seed}: ${reason}`)
  }
  expect(wrong).toEqual([])
})
