import type { Outcome } from './judge.ts'
import { lead, saved } from './table.ts'

/** What the study was to show, and where it does not: one line a goal. */
export function goals(outcomes: readonly Outcome[]): string {
  const assumed = outcomes.filter(({ setting }) => setting.asAssumed)
  const others = outcomes.filter(({ setting }) => !setting.asAssumed)
  const worn = outcomes.filter(({ setting }) => setting.options.worn > 0)
  const between = (low: number, high: number) => (value: number) => value >= low && value <= high
  const sets = (outcome: Outcome) => outcome.coverage.supportSets.value
  const periods = (outcome: Outcome) => outcome.coverage.printerPeriods.value
  return [
    goal('support sets: 77-83 % covered where all is drawn as assumed', assumed, sets, between(0.77, 0.83)),
    goal('printer periods: 77-83 % covered where all is drawn as assumed', assumed, periods, between(0.77, 0.83)),
    goal('support sets: at least 70 % covered elsewhere', others, sets, between(0.7, 1)),
    goal('printer periods: at least 70 % covered elsewhere', others, periods, between(0.7, 1)),
    goal("Kendall's tau above all naive rules, by .05 at least", outcomes, lead, between(0.05, 2), 2),
    goal(
      'regret in attempts at least 10 % below all naive rules',
      outcomes,
      (one) => saved(one, 'attempts'),
      between(0.1, 1),
    ),
    goal('regret in cost at least 10 % below all naive rules', outcomes, (one) => saved(one, 'cost'), between(0.1, 1)),
    goal(
      'regret in cost at least 60 % below the best naive rule with worn machines',
      worn,
      (one) => saved(one, 'cost'),
      between(0.6, 1),
    ),
  ].join('\n')
}

function goal(
  name: string,
  outcomes: readonly Outcome[],
  figureOf: (outcome: Outcome) => number,
  isMet: (value: number) => boolean,
  decimals?: number,
): string {
  const shown = (value: number) => (decimals === undefined ? `${(100 * value).toFixed(1)} %` : value.toFixed(decimals))
  const values = outcomes.map(figureOf)
  const range = `${shown(Math.min(...values))} to ${shown(Math.max(...values))}`
  const missed = outcomes.filter((outcome) => !isMet(figureOf(outcome)))
  const where = missed.map((outcome) => `${outcome.setting.name} (${shown(figureOf(outcome))})`).join('; ')
  return `- ${name}: ${missed.length === 0 ? 'reached' : `missed in ${where}`}. Seen: ${range}.`
}
