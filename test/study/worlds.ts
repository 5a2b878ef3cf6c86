import { chancesBySet, type LabelTable, seenLabels } from '../../server/scoring/labels.ts'
import { type Crowding, crowdings, platePriors } from '../../server/scoring/priors.ts'
import type { Random } from '../../server/scoring/random.ts'
import type { MembersReport } from '../../server/scoring/report-list.ts'
import { drawBeta, drawChance, drawWeighted } from './draws.ts'

/** What members do with what they see. */
export type Habit = 'honest' | 'blames the file' | 'failures only'

export type WorldOptions = {
  sets: number
  sculptors: number
  members: number
  printersOfMember: number
  /** upkeep periods of each printer */
  periods: number
  reports: number
  /** share of the upkeep periods whose printer is worn: success from Beta(5, 5) rather than Beta(19, 1) */
  worn: number
  /** how alike sculptors are, and one sculptor's files: sizes of the Betas around mean .85 */
  k0: number
  k: number
  /** share of the labels that are drawn blindly, where the model takes its own table for true */
  wrongLabels: number
  /** share of the labels that are "don't know" */
  unknown: number
  /** correlation of a plate's copies, which the service takes to be .1 */
  correlation: number
  /** whether every set is printed in one upkeep period of one printer alone */
  oneMachine: boolean
  /** share of the members, the first ones, who have the habit; and how many times as much as others they print */
  habit: Habit
  habitual: number
  keenness: number
}

/** A group of about a hundred members; the sizes of SCORING's simulation. Every world is told by what differs from it. */
export const usual: WorldOptions = {
  ...{ sets: 600, sculptors: 100, members: 100, printersOfMember: 2, periods: 2, reports: 3000 },
  ...{ worn: 0, k0: 10, k: 10, wrongLabels: 0, unknown: 0.2, correlation: 0.1, oneMachine: false },
  ...{ habit: 'honest', habitual: 0, keenness: 1 },
}

export type World = {
  reports: MembersReport[]
  /** true success, by the names in the reports */
  supportSets: Map<string, number>
  /** of the support sets, 1 less their success: of files that hardly ever fail nothing else tells it */
  failing: Map<string, number>
  printerPeriods: Map<string, number>
  plates: Record<Crowding, number>
  groupOf: Map<string, string>
  habitOf: Map<string, Habit>
}

const fresh = [19, 1] as const
const worn = [5, 5] as const
const groupMean = 0.85

/** An invented group, and what is true of its files, printers and plates. */
export function simulate(options: WorldOptions, random: Random): World {
  const world = inventGroup(options, random)
  const popularity = Array.from({ length: options.sets }, () => Math.exp(random.normal()))
  const keenness = Array.from({ length: options.members }, (_, member) => keennessOf(member, options))
  const ownPeriods = Array.from({ length: options.members }, (_, member) => periodsOf(member, options))
  const homes = Array.from({ length: options.sets }, () => {
    const member = drawWeighted(keenness, random)
    return { member, period: anyOf(ownPeriods[member] ?? [], random) }
  })
  while (world.reports.length < options.reports) {
    const set = drawWeighted(popularity, random)
    const anybody = drawWeighted(keenness, random)
    const somewhere = { member: anybody, period: anyOf(ownPeriods[anybody] ?? [], random) }
    const { member, period } = (options.oneMachine ? homes[set] : undefined) ?? somewhere
    const report = print(world, options, { set: `set ${set}`, member: `member ${member}`, period }, random)
    if (report) world.reports.push(report)
  }
  return world
}

function inventGroup({ k0, k, ...options }: WorldOptions, random: Random): World {
  const means = Array.from({ length: options.sculptors }, () =>
    drawBeta([groupMean * k0, (1 - groupMean) * k0], random),
  )
  const supportSets = new Map<string, number>()
  const failing = new Map<string, number>()
  const groupOf = new Map<string, string>()
  for (let set = 0; set < options.sets; set++) {
    const sculptor = Math.floor(options.sculptors * random.uniform())
    const mu = means[sculptor] ?? groupMean
    const { pass, fail } = drawChance([mu * k, (1 - mu) * k], random)
    supportSets.set(`set ${set}`, pass)
    failing.set(`set ${set}`, fail)
    groupOf.set(`set ${set}`, `sculptor ${sculptor}`)
  }
  const members = Array.from({ length: options.members }, (_, member) => member)
  const periods = members.flatMap((member) => periodsOf(member, options))
  const [loose, normal, packed] = crowdings.map((crowding) => drawBeta(platePriors[crowding], random))
  return {
    reports: [],
    supportSets,
    failing,
    printerPeriods: new Map(
      periods.map((period) => [period, drawBeta(random.uniform() < options.worn ? worn : fresh, random)]),
    ),
    plates: { loose: loose ?? 1, normal: normal ?? 1, packed: packed ?? 1 },
    groupOf,
    habitOf: new Map(
      members.map((member) => [`member ${member}`, isHabitual(member, options) ? options.habit : 'honest']),
    ),
  }
}

type Printed = { set: string; member: string; period: string }

/** One plate, as its member reports it; nothing where the member keeps it back. */
function print(
  world: World,
  options: WorldOptions,
  { set, member, period }: Printed,
  random: Random,
): MembersReport | undefined {
  const crowding = crowdings[drawWeighted([0.3, 0.5, 0.2], random)] ?? 'normal'
  const tried = 1 + Math.floor(10 * random.uniform())
  const truths = [world.supportSets.get(set), world.printerPeriods.get(period), world.plates[crowding]]
  const habit = world.habitOf.get(member) ?? 'honest'
  const chances = truths.map((p = 1) => ofPlate(p, options.correlation, random))
  const seen: string[] = []
  for (let copy = 0; copy < tried; copy++) {
    const failed = chances.reduce((set, p, stage) => (random.uniform() < p ? set : set | (1 << stage)), 0)
    if (failed > 0) seen.push(labelOf(habit === 'blames the file' ? 1 : failed, options, random))
  }
  if (habit === 'failures only' && seen.length === 0) return undefined
  return {
    ...{ id: `report ${world.reports.length}`, memberId: member, supportSet: set, group: world.groupOf.get(set) ?? '' },
    ...{ printerPeriod: period, crowding, good: tried - seen.length, failures: counted(seen) },
  }
}

/** Success of one stage on one plate: copies of a plate share their fate. */
function ofPlate(p: number, correlation: number, random: Random): number {
  const size = 1 / correlation - 1
  return correlation === 0 ? p : drawBeta([p * size, (1 - p) * size], random)
}

const labels = Object.keys(seenLabels).filter((label) => label !== "don't know")
const table: LabelTable = seenLabels
const chancesOfSet = Array.from({ length: 8 }, (_, failed) =>
  labels.map((label) => chancesBySet(table[label] ?? [0, 0, 0])[failed] ?? 0),
)

function labelOf(failed: number, { unknown, wrongLabels }: WorldOptions, random: Random): string {
  if (random.uniform() < unknown) return "don't know"
  const chances = random.uniform() < wrongLabels ? labels.map(() => 1) : (chancesOfSet[failed] ?? [])
  return labels[drawWeighted(chances, random)] ?? "don't know"
}

function counted(seen: readonly string[]) {
  return [...Map.groupBy(seen, (label) => label)].map(([label, copies]) => ({ seen: label, copies: copies.length }))
}

type Sizes = Pick<WorldOptions, 'members' | 'printersOfMember' | 'periods'>

function periodsOf(member: number, { printersOfMember, periods }: Sizes): string[] {
  return Array.from(
    { length: printersOfMember * periods },
    (_, index) => `printer ${member}.${Math.floor(index / periods)}/${index % periods}`,
  )
}

function isHabitual(member: number, { members, habitual }: Pick<WorldOptions, 'members' | 'habitual'>): boolean {
  return member < Math.round(habitual * members)
}

function keennessOf(member: number, options: WorldOptions): number {
  return isHabitual(member, options) ? options.keenness : 1
}

function anyOf(names: readonly string[], random: Random): string {
  return names[Math.floor(names.length * random.uniform())] ?? ''
}
