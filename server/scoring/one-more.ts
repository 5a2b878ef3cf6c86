import { chancesOf, type LabelTable, type Seen, seenLabels } from './labels.ts'
import { type Changes, changesOf, type Neighbourhood, networkOf, type StoredSite, weightsOf } from './neighbourhood.ts'
import { linkSize, type Network, periodNode, siteFileWeight, siteSize, siteWeight } from './network.ts'
import { startingRho, type Total } from './priors.ts'
import { counted, type Report } from './reports.ts'
import { priorOfSet, sculptorRecord } from './sculptor-tier.ts'
import { updateGroup } from './sculptors.ts'
import { sweep } from './sweep.ts'

type Options = { rho?: number; labels?: LabelTable }
type OneReport<Label extends string> = Report<Label> & { id: string }

const rounds = 3
const settled = 1e-3

/**
 * Learns from one more report: adds its good copies and its sites, then up to three times lets its sculptor's sets know
 * and visits the new sites and those of its set and of its printer period. A set or period without a row yet starts anew.
 *
 * @param report with an id that no site of the neighbourhood has
 * @throws RangeError for a report that makes no sense
 */
export function learn<Label extends string = Seen>(
  neighbourhood: Neighbourhood<Label>,
  report: OneReport<Label>,
  { rho = startingRho, labels = seenLabels }: Options = {},
): Changes<Label> {
  const { good, weight, fileWeight, failures } = counted(report, chancesOf(labels), rho)
  if (neighbourhood.sites.some(({ reportId }) => reportId === report.id)) {
    throw new RangeError(`report ${report.id} has been learnt already`)
  }
  const tried = failures.reduce((sum, { copies }) => sum + copies, good)
  const added = failures.map(({ seen, copies }) => ({
    reportId: report.id,
    seen: seen as Label,
    copies,
    tried,
    fileWeight: report.fileWeight ?? 1,
    memberWeight: report.memberWeight ?? 1,
    supportSet: report.supportSet,
    printerPeriod: report.printerPeriod,
    crowding: report.crowding,
    message: null,
  }))
  const sites = [...added, ...neighbourhood.sites]
  const shift = { file: { x: good * fileWeight, y: 0 }, machine: { x: good * weight, y: 0 } }
  return settle(neighbourhood, report, sites, shift, { rho, labels })
}

/**
 * Takes a report back: its good copies and what its sites were worth come off its set and printer period, its sites are
 * dropped, and the others settle as in `learn`.
 *
 * @param report as it was learnt; its sites are those of the neighbourhood with its id
 */
export function forget<Label extends string = Seen>(
  neighbourhood: Neighbourhood<Label>,
  report: OneReport<Label>,
  { rho = startingRho, labels = seenLabels }: Options = {},
): Changes<Label> {
  const { good, weight, fileWeight } = counted(report, chancesOf(labels), rho)
  const file = { x: -good * fileWeight, y: 0 }
  const machine = { x: -good * weight, y: 0 }
  for (const site of neighbourhood.sites.filter(({ reportId }) => reportId === report.id)) {
    const [fileX, fileY, machineX, machineY] = site.message ?? [0, 0, 0, 0]
    const [worth, fileWorth] = weightsOf(site, rho)
    file.x -= fileX * fileWorth
    file.y -= fileY * fileWorth
    machine.x -= machineX * worth
    machine.y -= machineY * worth
  }
  const sites = neighbourhood.sites.filter(({ reportId }) => reportId !== report.id)
  return settle(neighbourhood, report, sites, { file, machine }, { rho, labels })
}

/**
 * Lets what is known of a set and a printer period count for more or less than it did, and the others settle as in `learn`.
 *
 * @param where one of the reports that count differently; they are all on its set and period
 * @param shift what the set's and the period's totals change by
 */
export function reweigh<Label extends string = Seen>(
  neighbourhood: Neighbourhood<Label>,
  where: Pick<Report, 'supportSet' | 'group' | 'printerPeriod'>,
  shift: { file: Total; machine: Total },
  { rho = startingRho, labels = seenLabels }: Options = {},
): Changes<Label> {
  return settle(neighbourhood, where, neighbourhood.sites, shift, { rho, labels })
}

/** Shifts the report's set and period, then lets its sculptor's sets and the sites settle. */
function settle<Label extends string>(
  neighbourhood: Neighbourhood<Label>,
  report: Pick<Report, 'supportSet' | 'group' | 'printerPeriod'>,
  sites: readonly StoredSite<Label>[],
  shift: { file: Total; machine: Total },
  { rho, labels }: Required<Options>,
): Changes<Label> {
  const complete = { ...withItsNodes(neighbourhood, report), sites }
  const network = networkOf(complete, report.group, chancesOf(labels), rho)
  shiftNode(network, network.sets.indexOf(report.supportSet), shift.file)
  shiftNode(network, periodNode(network, network.periods.indexOf(report.printerPeriod)), shift.machine)
  for (let round = 0, moved = 1; round < rounds && moved > settled; round++) {
    moved = updateGroup(network, 0, neighbourhood.hyper)
    moved = Math.max(moved, sweep(network, 1, 2))
  }
  putBackUnmoved(network, sites)
  updateGroup(network, 0, neighbourhood.hyper)
  return changesOf(neighbourhood, network, sites, report.group)
}

/** Sites that moved by less than what counts as settled stay as they were: so most of what is around need not be written. */
function putBackUnmoved({ shape, sites: numbers, links }: Network, sites: readonly StoredSite<string>[]): void {
  sites.forEach(({ message }, site) => {
    const at = siteSize * site
    if (!message || message.some((part, index) => Math.abs(part - (numbers[at + index] ?? 0)) > settled)) return
    message.forEach((part, index) => {
      const node = (links[linkSize * site + (index >> 1)] ?? 0) + (index & 1)
      const weight = numbers[at + (index < 2 ? siteFileWeight : siteWeight)] ?? 0
      shape[node] = (shape[node] ?? 0) + weight * (part - (numbers[at + index] ?? 0))
      numbers[at + index] = part
    })
  })
}

/** The neighbourhood with the report's set and period, which start anew if they have no row yet. */
function withItsNodes<Label extends string>(
  neighbourhood: Neighbourhood<Label>,
  { supportSet, group, printerPeriod }: Pick<Report, 'supportSet' | 'group' | 'printerPeriod'>,
): Neighbourhood<Label> {
  const { hyper, supportSets, printerPeriods } = neighbourhood
  const nothing = { x: 0, y: 0 }
  const others = [...supportSets.values()].filter((set) => set.group === group)
  const [priorA, priorB] = priorOfSet(sculptorRecord(others, hyper), hyper)
  const set = supportSets.get(supportSet) ?? { ...nothing, group, priorA, priorB }
  if (set.group !== group) throw new RangeError(`support set "${supportSet}" is in two groups`)
  return {
    ...neighbourhood,
    supportSets: new Map([...supportSets, [supportSet, set]]),
    printerPeriods: new Map([...printerPeriods, [printerPeriod, printerPeriods.get(printerPeriod) ?? nothing]]),
  }
}

function shiftNode({ shape }: Network, node: number, { x, y }: Total): void {
  shape[2 * node] = (shape[2 * node] ?? 0) + x
  shape[2 * node + 1] = (shape[2 * node + 1] ?? 0) + y
}
