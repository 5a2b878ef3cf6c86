import { startingRho } from '../../server/scoring/priors.ts'
import { usual, type WorldOptions } from './worlds.ts'

export type Setting = {
  name: string
  /** everything is drawn as the model assumes */
  asAssumed: boolean
  options: WorldOptions
  /** how many groups are simulated */
  groups: number
  /** every report passes for another member's: what the members' weights do is left out */
  unsigned?: boolean
  /** only looked at for who is found */
  onlyMembers?: boolean
}

/** What the service takes the correlation of a plate's copies for; groups without any are fitted without any. */
export const rhoFor = ({ options }: Setting) => Math.min(startingRho, options.correlation)

const groups = 4

function as(name: string, changes: Partial<WorldOptions>, setting: Partial<Setting> = {}): Setting {
  return { name, asAssumed: true, options: { ...usual, ...changes }, groups, ...setting }
}

function but(name: string, changes: Partial<WorldOptions>, setting: Partial<Setting> = {}): Setting {
  return as(name, changes, { asAssumed: false, ...setting })
}

const keen = { worn: 0.1, habit: 'blames the file', habitual: 0.01, keenness: 10 } as const
const silent = { worn: 0.1, habit: 'failures only', habitual: 0.2 } as const
const onlyMembers = { onlyMembers: true, groups: 7 } as const

/** The kinds of groups that are simulated. The model has one Beta for all printers: worn ones among others are not it. */
export const settings: readonly Setting[] = [
  as('as assumed', {}),
  as('as assumed, copies each for themselves', { correlation: 0 }),
  as('sparse: 1.5 reports a set', { reports: 900 }),
  as('dense: 20 reports a set', { reports: 12_000 }, { groups: 3 }),
  as('sculptors alike', { k0: 60, k: 30 }),
  as('sculptors unlike', { k0: 3, k: 4 }),
  as('every file on one machine alone', { oneMachine: true }),
  but('10 % worn', { worn: 0.1 }),
  but('30 % worn', { worn: 0.3 }),
  but('30 % worn, 10 reports a set', { worn: 0.3, reports: 6000 }, { groups: 4 }),
  but('10 % worn, sparse', { worn: 0.1, reports: 900 }),
  but('10 % worn, 20 % wrong labels', { worn: 0.1, wrongLabels: 0.2 }),
  but('10 % worn, one in five reports failures only', silent),
  but('the same, unsigned', silent, { unsigned: true }),
  but('10 % worn, one keen member blames the file', keen),
  but('the same, unsigned', keen, { unsigned: true }),
]

const some = (habit: 'blames the file' | 'failures only', worn: number, reports: number) => ({
  ...{ habit, worn, reports, habitual: 0.1 },
})

/** Groups in which one member in ten has a habit, who is to be found. */
export const membersOnly: readonly Setting[] = [
  but('nobody has a habit, copies tied at .3 where .1 is taken', { worn: 0.1, correlation: 0.3 }, onlyMembers),
  but('the same, 90 reports a member', { worn: 0.1, correlation: 0.3, reports: 9000 }, { ...onlyMembers, groups: 2 }),
  but('blames the file, 10 % worn, 10 reports a member', some('blames the file', 0.1, 1000), onlyMembers),
  but('blames the file, 10 % worn, 30 reports', some('blames the file', 0.1, 3000), onlyMembers),
  but('blames the file, 30 % worn, 30 reports', some('blames the file', 0.3, 3000), onlyMembers),
  but('blames the file, 10 % worn, 100 reports', some('blames the file', 0.1, 10_000), { ...onlyMembers, groups: 2 }),
  but('failures only, 30 reports', some('failures only', 0.1, 3000), onlyMembers),
  but('failures only, 100 reports', some('failures only', 0.1, 10_000), { ...onlyMembers, groups: 2 }),
]
