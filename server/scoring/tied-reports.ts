// biome-ignore-all lint/style/noNonNullAssertion: arrays filled side by side, indexed within their bounds
import type { Chances } from './labels.ts'
import { Names } from './names.ts'
import { crowdings } from './priors.ts'
import type { Report } from './reports.ts'

/**
 * Reports laid out for sampling, copy by copy. Nodes are counted through: support sets, then printer periods, then plates
 * by crowding.
 */
export class TiedReports {
  readonly sets = new Names()
  readonly groups = new Names()
  readonly periods = new Names()
  readonly groupOfSet: number[] = []
  /** by report and stage: the node, counted within its stage until `nodeOf` */
  readonly #nodes: number[] = []
  /** by report */
  readonly tried: number[] = []
  readonly fileWeight: number[] = []
  readonly memberWeight: number[] = []
  /** by report, where its failed copies start; one more at the end */
  readonly start = [0]
  /** by failed copy, where its label's row of chances starts */
  readonly row: number[] = []

  add(report: Report<string>, { rowOf }: Chances): void {
    const { supportSet, group, printerPeriod, crowding, good, failures, fileWeight = 1, memberWeight = 1 } = report
    const set = this.sets.indexOf(supportSet)
    this.groupOfSet[set] = this.groups.indexOf(group)
    this.#nodes.push(set, this.periods.indexOf(printerPeriod), crowdings.indexOf(crowding))
    let tried = good
    for (const { seen, copies } of failures) {
      tried += copies
      for (let copy = 0; copy < copies; copy++) this.row.push(rowOf.get(seen)!)
    }
    this.tried.push(tried)
    this.fileWeight.push(fileWeight)
    this.memberWeight.push(memberWeight)
    this.start.push(this.row.length)
  }

  get count(): number {
    return this.tried.length
  }

  get nodeCount(): number {
    return this.sets.count + this.periods.count + crowdings.length
  }

  get copies(): number {
    return this.tried.reduce((sum, tried) => sum + tried, 0)
  }

  /** Three nodes a report: its file's, its machine's, its plate's. */
  nodes(): Int32Array {
    const before = [0, this.sets.count, this.sets.count + this.periods.count]
    return Int32Array.from(this.#nodes, (node, at) => node + before[at % 3]!)
  }
}
