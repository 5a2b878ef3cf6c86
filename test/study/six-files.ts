import { successOf } from '../../server/scoring/chances.ts'
import { attemptsPerGood } from '../../server/scoring/cost.ts'
import { drawsOf, keptOf } from '../../server/scoring/draws.ts'
import { fitGroup } from '../../server/scoring/fit.ts'
import { drawsOfMachineInOrder } from '../../server/scoring/group-draws.ts'
import { Random } from '../../server/scoring/random.ts'
import { serviceName } from './judge.ts'
import { Mean } from './measures.ts'
import { opinionsOfRivals } from './rivals.ts'
import { invent } from './world.ts'
import { usual } from './world-options.ts'

const reports = 192

/** Six files that nobody knew, after 192 reports on them: how often each rule puts the best one first. */
export function bestOfSix(groups: number): Map<string, Mean> {
  const first = new Map<string, Mean>()
  for (let group = 0; group < groups; group++) {
    const world = invent({ ...usual, reports, members: 6, lines: 6 }, new Random(52_000 + group))
    const names = [...world.lines.keys()]
    const { layout, lines, group: draws } = fitGroup(world.plates)
    const machine = drawsOfMachineInOrder(draws)
    const attempts = (name: string) => {
      const file = drawsOf(keptOf(lines, layout.lines.indexOf(name), draws.count))
      return attemptsPerGood(successOf({ file, machine, group: draws, crowding: 'about full' }))
    }
    const best = largest(names, (name) => world.lines.get(name)?.success ?? Number.NaN)
    const rules = new Map([
      [serviceName, (name: string) => -attempts(name)],
      ...opinionsOfRivals(world.plates, world.own),
    ])
    for (const [name, rule] of rules) {
      const mean = first.get(name) ?? new Mean()
      first.set(name, mean)
      mean.add(largest(names, rule) === best ? 1 : 0)
    }
  }
  return first
}

function largest(names: readonly string[], value: (name: string) => number): string | undefined {
  return names.reduce((best, name) => (value(name) > value(best) ? name : best))
}
