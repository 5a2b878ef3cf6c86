import { stages } from '../../server/scoring/labels.ts'
import type { Watch } from './film-watch.ts'
import { type Outcome, serviceName } from './judge.ts'
import type { Mean } from './measures.ts'
import { saved } from './table.ts'

type Figures = {
  invented: readonly Outcome[]
  assumed: readonly Outcome[]
  film: Watch
  first: ReadonlyMap<string, Mean>
  /** largest chi-square of the ranks, and of which unknown */
  ranks: { name: string; chiSquare: number }
}

/** Of chi-square with 19 degrees of freedom, one in a thousand lies above. R: qchisq(.999, 19) */
const chiSquareLimit = 43.82

/** The first edition's Brier score at 100 reports, in groups of another simulator (SCORING, section 7). */
const brierOfFirstEdition = 0.394

/** What the study was to show, and where it does not: one line a goal. */
export function goals({ invented, assumed, film, first, ranks }: Figures): string {
  const all = [...assumed, ...invented]
  const between = (low: number, high: number) => (value: number) => value >= low && value <= high
  const covers = (which: keyof Outcome['coverage']) => (outcome: Outcome) => outcome.coverage[which].value
  const reliable = (outcome: Outcome) =>
    Math.max(...stages.map((stage) => outcome.verdicts.reliability[stage].worst(50)))
  const service = first.get(serviceName)?.value ?? Number.NaN
  return [
    `- ranks of simulation-based calibration uniform (400 groups, p > .001): ${
      ranks.chiSquare < chiSquareLimit ? 'reached' : 'missed'
    }. Largest chi-square of 20 bins: ${ranks.chiSquare.toFixed(1)} (${ranks.name}).`,
    goal('80 % intervals of lines cover the truth in 77-87 %', all, covers('lines'), between(0.77, 0.87), percent),
    goal(
      '80 % intervals of machines at their last plate in 77-87 %',
      all,
      covers('machines'),
      between(0.77, 0.87),
      percent,
    ),
    goal('verdicts within .10 of the true share in every bin with 50 cases', all, reliable, between(0, 0.1), decimal),
    goal(
      `Brier score 15 % below the first edition's ${brierOfFirstEdition} (of other groups)`,
      invented.filter(({ setting }) => setting.reports >= 100),
      ({ verdicts }) => verdicts.brier.value,
      between(0, 0.85 * brierOfFirstEdition),
      decimal,
    ),
    goal('no rival loses less money', all, saved, between(0, 1), percent),
    goal(
      'money lost at least 10 % below the best rival from 30 reports on',
      invented.filter(({ setting }) => setting.reports >= 30),
      saved,
      between(0.1, 1),
      percent,
    ),
    goal(
      'P(all N good) within .05 of the true frequency, in bins with 200 prints',
      all,
      ({ allGood }) => allGood.worst(200),
      between(0, 0.05),
      decimal,
    ),
    `- worn films noticed within 7 plates, at most .4 false alarms per printer-year: ${
      film.delay <= 7 && film.falseAlarmsAYear <= 0.4 ? 'reached' : 'missed'
    }. Seen: ${film.delay} plates, ${film.falseAlarmsAYear.toFixed(2)}.`,
    `- the best of six new files first after 192 reports in 65 of 100: ${service >= 0.65 ? 'reached' : 'missed'}. Seen: ${percent(service)}.`,
  ].join('\n')
}

const percent = (value: number) => `${(100 * value).toFixed(1)} %`
const decimal = (value: number) => value.toFixed(3)

function goal(
  name: string,
  outcomes: readonly Outcome[],
  figureOf: (outcome: Outcome) => number,
  isMet: (value: number) => boolean,
  shown: (value: number) => string,
): string {
  const values = outcomes.map(figureOf)
  const range = `${shown(Math.min(...values))} to ${shown(Math.max(...values))}`
  const missed = outcomes.filter((outcome) => !isMet(figureOf(outcome)))
  const where = missed.map((outcome) => `${outcome.setting.name} (${shown(figureOf(outcome))})`).join('; ')
  return `- ${name}: ${missed.length === 0 ? 'reached' : `missed in ${where}`}. Seen: ${range}.`
}
