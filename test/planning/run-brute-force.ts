import { openSolver } from '../../server/planning/solver.ts'
import { wrongWith } from './compare-plans.ts'
import { type Kind, smallRoster } from './small-rosters.ts'

/**
 * Compares plans with the best of every plan: `npm run brute-force`, 500 rosters of each kind, or
 * `npm run brute-force -- 20`. Fails when any differs.
 */
const kinds: Kind[] = ['mixed', 'hard']
const rosters = Number(process.argv[2] ?? 500)
const shown = 5

const solver = await openSolver()
let wrong = 0
for (const kind of kinds) {
  for (let seed = 1; seed <= rosters; seed++) {
    const reason = wrongWith(smallRoster(kind, seed), solver)
    if (reason && ++wrong <= shown) console.log(`${kind} ${seed}: ${reason}`)
  }
}
console.log(`${wrong} of ${rosters * kinds.length} rosters were planned differently from the best of every plan`)
if (wrong > 0) process.exitCode = 1
