import { below, intervalEnds } from '../../server/scoring/beta.ts'
import { GroupFit, type GroupFitted } from '../../server/scoring/group-fit.ts'
import type { Part } from '../../server/scoring/mixture.ts'
import { type Crowding, crowdings } from '../../server/scoring/priors.ts'
import { Random } from '../../server/scoring/random.ts'
import { sculptorGrid, successParts } from '../../server/scoring/sculptor-grid.ts'
import { type Success, successOfPeriod, successOfPlate, successOnGrid } from '../../server/scoring/success.ts'
import { Mean } from './measures.ts'
import { noPicks, type Picks, pickWithin, rulesFor } from './picking.ts'
import { rhoFor, type Setting } from './settings.ts'
import { simulate, type World } from './worlds.ts'

/** What came of one kind of groups. */
export type Outcome = {
  setting: Setting
  /** share of the 80 % intervals that hold the truth */
  coverage: Record<'supportSets' | 'byMessages' | 'printerPeriods' | 'plates', Mean>
  picks: Map<string, Picks>
  /** share of the members whose evidence was halved */
  doubted: Record<'honest' | 'habitual', Mean>
}

/** Simulates, fits, and holds what comes out against what is true. The same seed gives the same. */
export function judge(setting: Setting, { seed = 1, requests = 400 } = {}): Outcome {
  const outcome: Outcome = {
    setting,
    coverage: { supportSets: new Mean(), byMessages: new Mean(), printerPeriods: new Mean(), plates: new Mean() },
    picks: new Map(),
    doubted: { honest: new Mean(), habitual: new Mean() },
  }
  for (let group = 0; group < setting.groups; group++) {
    const random = new Random(1000 * seed + group)
    const world = simulate(setting.options, random)
    const fitted = fitOf(world, setting)
    judgeMembers(outcome, world, fitted)
    if (setting.onlyMembers) continue
    const successes = successesOf(fitted, true)
    judgeIntervals(outcome, world, fitted, successes)
    const rules = rulesFor(world, fitted, successes)
    for (const [name, picks] of pickWithin({ world, rules, sets: [...successes.keys()] }, requests, random)) {
      const sum = outcome.picks.get(name) ?? noPicks()
      outcome.picks.set(name, sum)
      for (const measure of ['tau', 'attempts', 'cost'] as const) sum[measure].add(picks[measure].value)
    }
  }
  return outcome
}

function fitOf(world: World, setting: Setting): GroupFitted {
  const group = new GroupFit({ rho: rhoFor(setting), sampling: !setting.onlyMembers })
  for (const report of world.reports) group.add(setting.unsigned ? { ...report, memberId: report.id } : report)
  return group.fit()
}

/** What is shown of every support set, and the law that it is taken from. */
type Shown = Success & { law: readonly Part[] }

/** @param withCases of the failures; without, as their messages alone have it */
function successesOf({ supportSets, hyper }: GroupFitted, withCases: boolean): Map<string, Shown> {
  const successes = new Map<string, Shown>()
  for (const sets of Map.groupBy(supportSets, ([, { group }]) => group).values()) {
    const told = sets.map(([name, { x, y, cases }]) => [name, withCases ? { x, y, cases } : { x, y }] as const)
    const grid = sculptorGrid(
      told.map(([, set]) => set),
      hyper,
    )
    for (const [name, set] of told) successes.set(name, { ...successOnGrid(grid, set), law: successParts(grid, set) })
  }
  return successes
}

function judgeIntervals(
  { coverage }: Outcome,
  world: World,
  fitted: GroupFitted,
  successes: ReadonlyMap<string, Shown>,
): void {
  for (const [name, success] of successes) coverage.supportSets.add(holdsSet(success, world, name))
  for (const [name, success] of successesOf(fitted, false)) coverage.byMessages.add(holdsSet(success, world, name))
  for (const [name, period] of fitted.printerPeriods) {
    coverage.printerPeriods.add(holds(successOfPeriod(period, fitted.hyper), world.printerPeriods.get(name)))
  }
  for (const crowding of crowdings) {
    coverage.plates.add(holds(plate(fitted, crowding), world.plates[crowding]))
  }
}

const plate = ({ plates }: GroupFitted, crowding: Crowding) => successOfPlate(crowding, plates[crowding])

/** Nearer to 1 than this, a success and the end of an interval may round to the same number, or just not. */
const roundedOff = 1e-9

/** Whether an interval holds the truth; next to 1 by the law that it is taken from, which has no end. */
function holdsSet(success: Shown, { supportSets, failing }: World, name: string): number {
  const fail = failing.get(name) ?? Number.NaN
  if (!(fail < roundedOff)) return holds(success, supportSets.get(name))
  const above = success.law.reduce((sum, { weight, shape: [a, b] }) => sum + weight * below([b, a], fail), 0)
  return above >= 1 - intervalEnds[1] && success.low <= 1 - fail ? 1 : 0
}

function holds({ low, high }: Success, truth = Number.NaN): number {
  return truth >= low && truth <= high ? 1 : 0
}

function judgeMembers({ doubted }: Outcome, { habitOf }: World, { standings }: GroupFitted): void {
  for (const [memberId, { weight }] of standings) {
    const kind = (habitOf.get(memberId) ?? 'honest') === 'honest' ? 'honest' : 'habitual'
    doubted[kind].add(weight < 1 ? 1 : 0)
  }
}
