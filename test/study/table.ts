import type { Outcome } from './judge.ts'
import { naiveRules } from './naive.ts'
import { type Picks, serviceName } from './picking.ts'

type Measure = keyof Picks

/** Markdown: a header, and a row each; the first column leans left, the others right. */
function table(header: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = header.map((_, column) => Math.max(...[header, ...rows].map((cells) => cells[column]?.length ?? 0)))
  const padded = (text: string, column: number) =>
    column === 0 ? text.padEnd(widths[column] ?? 0) : text.padStart(widths[column] ?? 0)
  const line = (cells: readonly string[]) => `| ${cells.map(padded).join(' | ')} |`
  const rule = widths.map((width, column) => (column === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`))
  return [line(header), line(rule), ...rows.map(line)].join('\n')
}

const share = (value: number) => (Number.isNaN(value) ? '' : `${(100 * value).toFixed(1)} %`)

export function intervalsTable(outcomes: readonly Outcome[]): string {
  const header = ['groups', 'drawn as assumed', 'support sets', 'the same by messages alone', 'printer periods']
  return table(
    header,
    outcomes.map(({ setting, coverage }) => [
      setting.name,
      setting.asAssumed ? 'yes' : 'no',
      share(coverage.supportSets.value),
      share(coverage.byMessages.value),
      share(coverage.printerPeriods.value),
    ]),
  )
}

const rules = Object.keys(naiveRules)

export function pickingTable(outcomes: readonly Outcome[], measure: Measure): string {
  const digits = measure === 'cost' ? 2 : 3
  const rows = outcomes.map((outcome) => {
    const values = [serviceName, ...rules].map((rule) => figureOf(outcome, rule, measure).toFixed(digits))
    return [outcome.setting.name, ...values, ...(measure === 'tau' ? [] : [share(saved(outcome, measure))])]
  })
  return table(['groups', serviceName, ...rules, ...(measure === 'tau' ? [] : ['below the best of these'])], rows)
}

function figureOf({ picks }: Outcome, rule: string, measure: Measure): number {
  return picks.get(rule)?.[measure].value ?? Number.NaN
}

/** How far the service's regret lies below that of the best naive rule. */
export function saved(outcome: Outcome, measure: 'attempts' | 'cost'): number {
  const best = Math.min(...rules.map((rule) => figureOf(outcome, rule, measure)))
  return 1 - figureOf(outcome, serviceName, measure) / best
}

/** By how much the service's tau is above that of the best naive rule. */
export function lead(outcome: Outcome): number {
  const best = Math.max(...rules.map((rule) => figureOf(outcome, rule, 'tau')))
  return figureOf(outcome, serviceName, 'tau') - best
}

export function membersTable(outcomes: readonly Outcome[]): string {
  const rows = outcomes.map(({ setting, doubted }) => [
    setting.name,
    `${Math.round(doubted.honest.value * doubted.honest.count)} of ${doubted.honest.count}`,
    doubted.habitual.count === 0
      ? ''
      : `${Math.round(doubted.habitual.value * doubted.habitual.count)} of ${doubted.habitual.count}`,
  ])
  return table(['groups', 'honest members doubted', 'members with the habit found'], rows)
}
