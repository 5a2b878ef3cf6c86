// biome-ignore-all lint/style/noNonNullAssertion: arrays filled side by side, indexed within their bounds
import type { Fit } from './fit.ts'
import { memberWeight, worthOfPlate } from './members.ts'
import { Names } from './names.ts'
import type { Message } from './network.ts'
import { type Crowding, crowdings } from './priors.ts'
import type { Report } from './reports.ts'

/** A report to be fitted with those of all members: it needs an id that no other has. */
export type MembersReport = Report<string> & { id: string; memberId: string }

export type Shared = { memberId: string; supportSet: string; printerPeriod: string; weight: number }

/** What members' evidence counts; undefined takes every report for what it says, however many one member has made. */
export type MemberWeights = ReadonlyMap<string, number> | undefined

/** Reports to be gone through several times. There may be a million, so that names are kept once and the rest as numbers. */
export class ReportList {
  readonly #members = new Names()
  readonly #sets = new Names()
  readonly #groups = new Names()
  readonly #periods = new Names()
  readonly #labels = new Names()
  readonly #ids: string[] = []
  /** by report */
  readonly #member: number[] = []
  readonly #set: number[] = []
  readonly #group: number[] = []
  readonly #period: number[] = []
  readonly #crowding: number[] = []
  readonly #good: number[] = []
  readonly #fileWeight: number[] = []
  /** where a report's failures start; one more at the end */
  readonly #start = [0]
  /** by failure */
  readonly #seen: number[] = []
  readonly #copies: number[] = []
  #messages = new Float64Array()

  /** Of copies that came out neither good nor failed nothing is said here: counts have to add up. */
  add({
    id,
    memberId,
    supportSet,
    group,
    printerPeriod,
    crowding,
    good,
    fileWeight = 1,
    failures,
  }: MembersReport): void {
    this.#ids.push(id)
    this.#member.push(this.#members.indexOf(memberId))
    this.#set.push(this.#sets.indexOf(supportSet))
    this.#group.push(this.#groups.indexOf(group))
    this.#period.push(this.#periods.indexOf(printerPeriod))
    this.#crowding.push(crowdings.indexOf(crowding))
    this.#good.push(good)
    this.#fileWeight.push(fileWeight)
    for (const { seen, copies } of failures) {
      this.#seen.push(this.#labels.indexOf(seen))
      this.#copies.push(copies)
    }
    this.#start.push(this.#seen.length)
  }

  get count(): number {
    return this.#ids.length
  }

  /** Supports that one member alone has reported on. */
  ofOneMember(): Set<string> {
    const several = -1
    const memberOf: number[] = []
    this.#set.forEach((set, report) => {
      const member = this.#member[report]!
      memberOf[set] = (memberOf[set] ?? member) === member ? member : several
    })
    return new Set(this.#sets.names.filter((_, set) => memberOf[set] !== several))
  }

  /**
   * All reports, each with its member's weight and that of this member's reports on the same supports and printer period,
   * and with what the last fit has made of its failures (`takeMessages`).
   */
  *reports(members: MemberWeights, rho: number): Generator<MembersReport> {
    const shares = members && this.#shares(rho)
    for (let report = 0; report < this.count; report++) {
      const memberId = this.#members.names[this.#member[report]!]!
      yield {
        id: this.#ids[report]!,
        memberId,
        supportSet: this.#sets.names[this.#set[report]!]!,
        group: this.#groups.names[this.#group[report]!]!,
        printerPeriod: this.#periods.names[this.#period[report]!]!,
        crowding: crowdings[this.#crowding[report]!] as Crowding,
        good: this.#good[report]!,
        fileWeight: this.#fileWeight[report]!,
        memberWeight: (shares?.get(this.#share(report)) ?? 1) * (members?.get(memberId) ?? 1),
        failures: this.#failures(report),
      }
    }
  }

  /** What reports count where one member has made so many on the same supports and printer period that it is less than 1. */
  shares(rho: number): Shared[] {
    return Array.from(this.#shares(rho), ([share, weight]) => ({
      memberId: this.#members.names[Math.floor(share / this.#periods.count / this.#sets.count)]!,
      supportSet: this.#sets.names[Math.floor(share / this.#periods.count) % this.#sets.count]!,
      printerPeriod: this.#periods.names[share % this.#periods.count]!,
      weight,
    }))
  }

  #failures(report: number): Report<string>['failures'] {
    const failures: { seen: string; copies: number; message: Message | null }[] = []
    for (let at = this.#start[report]!; at < this.#start[report + 1]!; at++) {
      const message = this.#messages.length === 0 ? null : [...this.#messages.subarray(6 * at, 6 * at + 6)]
      // Six numbers, as taken.
      const six = message as unknown as Message | null
      failures.push({ seen: this.#labels.names[this.#seen[at]!]!, copies: this.#copies[at]!, message: six })
    }
    return failures
  }

  /** A number for each member, supports and printer period that belong together. */
  #share(report: number): number {
    return (this.#member[report]! * this.#sets.count + this.#set[report]!) * this.#periods.count + this.#period[report]!
  }

  /** The weights that are not 1. */
  #shares(rho: number): Map<number, number> {
    const copies = new Map<number, number>()
    for (let report = 0; report < this.count; report++) {
      const share = this.#share(report)
      copies.set(share, (copies.get(share) ?? 0) + this.#worth(report, rho))
    }
    const weights = new Map<number, number>()
    for (const [share, worth] of copies) if (memberWeight(worth) < 1) weights.set(share, memberWeight(worth))
    return weights
  }

  #worth(report: number, rho: number): number {
    let tried = this.#good[report]!
    for (let at = this.#start[report]!; at < this.#start[report + 1]!; at++) tried += this.#copies[at]!
    return worthOfPlate(tried, rho)
  }

  /** Keeps what a fit has made of the failures. */
  takeMessages(fit: Pick<Fit, 'sites'>): void {
    const places = new Map<string, number>()
    this.#ids.forEach((id, report) => {
      if (this.#start[report]! < this.#start[report + 1]!) places.set(id, report)
    })
    this.#messages = new Float64Array(6 * this.#seen.length)
    for (const { reportId, seen, message } of fit.sites()) {
      const report = places.get(reportId ?? '')
      if (report === undefined) continue
      for (let at = this.#start[report]!; at < this.#start[report + 1]!; at++) {
        if (this.#labels.names[this.#seen[at]!] === seen) this.#messages.set(message, 6 * at)
      }
    }
  }
}
