import { type Stage, stages } from '../../server/scoring/labels.ts'
import type { Watch } from './film-watch.ts'
import { type Outcome, serviceName } from './judge.ts'
import type { Mean, Reliability } from './measures.ts'
import { realRivals, told } from './rivals.ts'
import { failedCopies } from './verdicts.ts'

/** Markdown: a header, and a row each; the first column leans left, the others right. */
export function table(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = header.map((_, column) => Math.max(...[header, ...rows].map((cells) => cells[column]?.length ?? 0)))
  const padded = (text: string, column: number) =>
    column === 0 ? text.padEnd(widths[column] ?? 0) : text.padStart(widths[column] ?? 0)
  const line = (cells: readonly string[]) => `| ${cells.map(padded).join(' | ')} |`
  const rule = widths.map((width, column) => (column === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`))
  return [line(header), line(rule), ...rows.map(line)].join('\n')
}

const share = (value: number) => (Number.isNaN(value) ? '' : `${(100 * value).toFixed(1)} %`)
const two = (value: number) => (Number.isNaN(value) ? '' : value.toFixed(2))

export function intervalsTable(outcomes: readonly Outcome[]): string {
  const header = [
    'groups',
    'lines',
    'machines at their last plate',
    'those with 5 plates',
    'lines: truth minus mean',
    'machines: the same',
    'fits with R-hat over 1.05',
  ]
  return table(
    header,
    outcomes.map(({ setting, coverage, bias, worstRhat }) => [
      setting.name,
      ...[coverage.lines, coverage.machines, coverage['machines with 5 plates']].map(shareWithError),
      ...[bias.lines, bias.machines].map(({ value }) => value.toFixed(3)),
      share(worstRhat.filter((rhat) => rhat > 1.05).length / worstRhat.length),
    ]),
  )
}

const shareWithError = (mean: Mean) => `${share(mean.value)} ± ${(100 * mean.standardError).toFixed(1)}`

export function verdictsTable(outcomes: readonly Outcome[]): string {
  return table(
    ['groups', 'plates', 'names the true cause', 'Brier', ...stages.map((stage) => `${stage}: largest deviation`)],
    outcomes.map(({ setting, verdicts: { named, brier, reliability } }) => [
      setting.name,
      `${named.count}`,
      share(named.value),
      brier.value.toFixed(3),
      ...stages.map((stage) => two(reliability[stage].worst(50))),
    ]),
  )
}

const cell = ({ said, came }: Reliability['bins'][number]) =>
  said.count < 20 ? '' : `${came.value.toFixed(2)} (${said.count})`

/** What came true, by what was said. */
export function reliabilityTable(outcomes: readonly Outcome[], stage: Stage): string {
  const bins = outcomes[0]?.verdicts.reliability[stage].bins ?? []
  return table(
    [`${stage}, estimated`, ...bins.map((_, at) => `.${at}-${at === 9 ? '1' : `.${at + 1}`}`)],
    outcomes.map(({ setting, verdicts }) => [setting.name, ...verdicts.reliability[stage].bins.map(cell)]),
  )
}

/** "Most likely": right in so many of so many. */
export function mostLikelyTable(outcomes: readonly Outcome[]): string {
  const rows = stages.flatMap((stage) =>
    outcomes.map(({ setting, verdicts }) => [
      `${stage}: ${setting.name}`,
      ...verdicts.mostLikely[stage].map((right) => (right.count === 0 ? '' : `${two(right.value)} of ${right.count}`)),
    ]),
  )
  return table(['most likely the', ...failedCopies.map((copies) => `${copies} failed`)], rows)
}

/** The same, of groups of all sizes together: this decides where pages may say it. */
export function mostLikelyOfAll(kinds: Readonly<Record<string, readonly Outcome[]>>): string {
  const rows = stages.flatMap((stage) =>
    Object.entries(kinds).map(([kind, outcomes]) => [
      `${stage}: ${kind}`,
      ...failedCopies.map((_, at) => {
        const means = outcomes.map(({ verdicts }) => verdicts.mostLikely[stage][at]).filter((mean) => mean?.count)
        const count = means.reduce((sum, mean) => sum + (mean?.count ?? 0), 0)
        return `${two(means.reduce((sum, mean) => sum + (mean?.value ?? 0) * (mean?.count ?? 0), 0) / count)} of ${count}`
      }),
    ]),
  )
  return table(['most likely the', ...failedCopies.map((copies) => `${copies} failed`)], rows)
}

export function moneyTable(outcomes: readonly Outcome[]): string {
  const rows = outcomes.map((outcome) => [
    outcome.setting.name,
    ...[serviceName, ...realRivals, told].map((name) => two(lostBy(outcome, name))),
    share(saved(outcome)),
  ])
  return table(['groups', serviceName, ...realRivals, told, 'below the best rival'], rows)
}

const lostBy = ({ lost }: Outcome, name: string) => lost.get(name)?.value ?? Number.NaN

/** How far the service's loss lies below that of the best rival. */
export function saved(outcome: Outcome): number {
  return 1 - lostBy(outcome, serviceName) / Math.min(...realRivals.map((name) => lostBy(outcome, name)))
}

export function allGoodTable(outcomes: readonly Outcome[]): string {
  const pair = ({ said, came }: { said: Mean; came: Mean }) =>
    said.count < 20 ? '' : `${two(said.value)}: ${two(came.value)} (${said.count})`
  return table(
    ['estimated: true (prints)', 'under .2', '.2-.4', '.4-.6', '.6-.8', 'over .8'],
    outcomes.map(({ setting, allGood }) => [setting.name, ...allGood.bins.map(pair)]),
  )
}

export function filmTable(watched: Record<string, Watch>): string {
  return table(
    ['rule', 'alarm above', 'plates until noticed, median', 'noticed at all', 'false alarms per printer-year'],
    Object.entries(watched).map(([name, { limit, delay, noticed, films, falseAlarmsAYear }]) => [
      name,
      two(limit),
      `${delay}`,
      `${noticed} of ${films}`,
      two(falseAlarmsAYear),
    ]),
  )
}

export function firstTable(first: ReadonlyMap<string, Mean>): string {
  return table(
    ['rule', 'best of six first'],
    [...first].map(([name, mean]) => [name, shareWithError(mean)]),
  )
}
