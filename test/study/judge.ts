import { chancesOf, machineOnNextPlate, successOf } from '../../server/scoring/chances.ts'
import { attemptsPerGood } from '../../server/scoring/cost.ts'
import { type Draws, drawsOf, keptOf, summaryOf } from '../../server/scoring/draws.ts'
import { type Fitted, fitGroup } from '../../server/scoring/fit.ts'
import { drawsOfMachineInOrder, drawsOfNewLine, drawsOfNewSculptor } from '../../server/scoring/group-draws.ts'
import { Random } from '../../server/scoring/random.ts'
import { Mean, Reliability } from './measures.ts'
import { attemptsAt, moneyLost, type Rule } from './picking.ts'
import { opinionsOfRivals } from './rivals.ts'
import { judgeVerdicts, noVerdicts, type Verdicts } from './verdicts.ts'
import type { World } from './world.ts'

export type Setting = {
  name: string
  reports: number
  /** everything is drawn as the model assumes */
  isAssumed: boolean
  groups: number
  invent: (random: Random) => World
}

/** What came of groups of one kind. */
export type Outcome = {
  setting: Setting
  /** share of the 80 % intervals that hold the truth: lines with reports, machines as they are at their last plate */
  coverage: Record<'lines' | 'machines' | 'machines with 5 plates', Mean>
  /** truth less mean: how far the middle is off */
  bias: Record<'lines' | 'machines', Mean>
  verdicts: Verdicts
  /** by rule, money lost a request */
  lost: Map<string, Mean>
  /** P(all N good) as said and as it came, by what was said; and by N */
  allGood: Reliability
  allGoodOf: Map<number, { said: Mean; came: Mean }>
  /** of the node on which the chains agree least */
  worstRhat: number[]
}

export const serviceName = 'this service'

/** Invents, fits, and holds what comes out against what is true. The same seed gives the same. */
export function judge(setting: Setting, { seed = 1, requests = 200 } = {}): Outcome {
  const outcome: Outcome = {
    setting,
    coverage: { lines: new Mean(), machines: new Mean(), 'machines with 5 plates': new Mean() },
    bias: { lines: new Mean(), machines: new Mean() },
    verdicts: noVerdicts(),
    lost: new Map(),
    allGood: new Reliability(5),
    allGoodOf: new Map(),
    worstRhat: [],
  }
  for (let group = 0; group < setting.groups; group++) {
    const random = new Random(100_000 * seed + group)
    const world = setting.invent(random)
    const fitted = fitGroup(world.plates)
    outcome.worstRhat.push(fitted.convergence.worst.rhat)
    judgeIntervals(outcome, world, fitted)
    judgeVerdicts(outcome.verdicts, world, fitted)
    judgePicks(outcome, world, fitted, requests, random)
    judgeAllGood(outcome, world, fitted, random)
  }
  return outcome
}

function judgeIntervals({ coverage, bias }: Outcome, { lines, machines }: World, fitted: Fitted): void {
  const { layout, group } = fitted
  layout.lines.forEach((name, at) => {
    const found = summaryOf(drawsOf(keptOf(fitted.lines, at, group.count)))
    const truth = lines.get(name)?.success ?? Number.NaN
    coverage.lines.add(holds(found, truth))
    bias.lines.add(truth - found.mean)
  })
  layout.periods.forEach((name, at) => {
    const found = summaryOf(drawsOf(keptOf(fitted.periods, at, group.count)))
    const truth = machines.get(name) ?? Number.NaN
    const plates = (layout.periodStart[at + 1] ?? 0) - (layout.periodStart[at] ?? 0)
    coverage.machines.add(holds(found, truth))
    if (plates >= 5) coverage['machines with 5 plates'].add(holds(found, truth))
    bias.machines.add(truth - found.mean)
  })
}

function holds({ low, high }: { low: number; high: number }, truth: number): number {
  // Draws are kept in steps of 1/2048 of a logit, and end at 1e-7 from either end.
  const [from, to] = [low <= 2e-7 ? 0 : low, high >= 1 - 2e-7 ? 1 : high]
  return truth >= from && truth <= to ? 1 : 0
}

/** Draws of any line, printed or not. */
function linesOf(world: World, { layout, lines, sculptors, group }: Fitted): (line: string) => Draws {
  const [indexOfLine, indexOfSculptor] = [indexOf(layout.lines), indexOf(layout.sculptors)]
  const known = new Map<string, Draws>()
  return (line) => {
    const before = known.get(line)
    if (before) return before
    const own = indexOfLine.get(line)
    const sculptor = world.lines.get(line)?.sculptor ?? ''
    const others = indexOfSculptor.get(sculptor)
    const ofSculptor = () =>
      others === undefined ? drawsOfNewSculptor(group, sculptor) : drawsOf(keptOf(sculptors, others, group.count))
    const draws =
      own === undefined ? drawsOfNewLine(group, ofSculptor(), line) : drawsOf(keptOf(lines, own, group.count))
    known.set(line, draws)
    return draws
  }
}

const indexOf = (names: readonly string[]) => new Map(names.map((name, at) => [name, at]))

/** On a machine in order and an about full plate, among all lines, some of which nobody has printed. */
function judgePicks({ lost }: Outcome, world: World, fitted: Fitted, requests: number, random: Random): void {
  const { group } = fitted
  const drawsOfLine = linesOf(world, fitted)
  const machine = drawsOfMachineInOrder(group)
  const attempts = new Map<string, number>()
  const rules = new Map<string, Rule>()
  rules.set(serviceName, (line) => {
    const known = attempts.get(line)
    if (known !== undefined) return known
    const found = attemptsPerGood(successOf({ file: drawsOfLine(line), machine, group, crowding: 'about full' }))
    attempts.set(line, found)
    return found
  })
  for (const [name, opinion] of opinionsOfRivals(world.plates, world.own)) {
    rules.set(name, (line) => attemptsAt(opinion(line)))
  }
  const truth = (line: string) =>
    attemptsAt((world.lines.get(line)?.success ?? Number.NaN) * world.inOrder * world.fullPlate)
  for (const [name, mean] of moneyLost({ rules, lines: [...world.lines.keys()], truth }, requests, random)) {
    const sum = lost.get(name) ?? new Mean()
    lost.set(name, sum)
    if (mean.count > 0) sum.add(mean.value, mean.count)
  }
}

const printsAGroup = 60

function judgeAllGood({ allGood, allGoodOf }: Outcome, world: World, fitted: Fitted, random: Random): void {
  const { layout, periods, group } = fitted
  const drawsOfLine = linesOf(world, fitted)
  for (let print = 0; print < printsAGroup; print++) {
    const copies = 1 + Math.floor(6 * random.uniform())
    const line = layout.lines[Math.floor(layout.lines.length * random.uniform())] ?? ''
    const at = Math.floor(layout.periods.length * random.uniform())
    const machine = machineOnNextPlate(drawsOf(keptOf(periods, at, group.count)), group)
    const said = chancesOf({ file: drawsOfLine(line), machine, group, crowding: 'about full' }, [copies]).allGood
    const came = world.printNext(line, layout.periods[at] ?? '', copies, random) === copies ? 1 : 0
    allGood.add(said, came)
    const ofSo = allGoodOf.get(copies) ?? { said: new Mean(), came: new Mean() }
    allGoodOf.set(copies, ofSo)
    ofSo.said.add(said)
    ofSo.came.add(came)
  }
}
