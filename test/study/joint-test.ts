import { emptySums } from '../../server/scoring/chain.ts'
import { convergenceOf } from '../../server/scoring/convergence.ts'
import { Random } from '../../server/scoring/random.ts'
import { chainAtTruth, readTruth } from './chain-state.ts'
import { type Design, type DrawnPlate, drawTruth, printAll, type Truth } from './drawn-group.ts'

/** Eight plates of three lines by two sculptors on two machines: few enough that the reports move with the truth. */
const design: Design = {
  sculptorOfLine: [0, 0, 1],
  periods: [
    [
      { crowding: 0, prints: [{ line: 0, copies: 4 }] },
      {
        crowding: 1,
        prints: [
          { line: 1, copies: 3 },
          { line: 2, copies: 2 },
        ],
      },
      { crowding: 2, prints: [{ line: 2, copies: 5 }] },
      { crowding: 1, prints: [{ line: 0, copies: 1 }] },
    ],
    [
      { crowding: 2, prints: [{ line: 1, copies: 6 }] },
      {
        crowding: 0,
        prints: [
          { line: 2, copies: 2 },
          { line: 0, copies: 2 },
        ],
      },
      { crowding: 1, prints: [{ line: 0, copies: 3 }] },
      { crowding: 1, prints: [{ line: 1, copies: 2 }] },
    ],
  ],
}
const unknown = 0.2

/**
 * Geweke's joint test of one sweep. Truths and reports are drawn in two ways: truths from the priors and reports from
 * them; and from each truth new reports, from those by one sweep a new truth. If the sweep leaves the posterior as it is,
 * both ways draw from the same joint distribution, and every mean is the same but for chance.
 *
 * @returns by quantity, the difference of its means in standard errors
 * @see Geweke (2004), Getting it right: joint distribution tests of posterior simulators, JASA 99, 799-804
 */
export function jointTest({
  alone,
  sweeps,
  seed,
}: {
  alone: number
  sweeps: number
  seed: number
}): Map<string, number> {
  const fromPriors = new Random(seed)
  const marginal = Array.from({ length: alone }, () => {
    const truth = drawTruth(design, fromPriors)
    return quantities(truth, printAll(design, truth, unknown, fromPriors))
  })
  const random = new Random(seed + 1)
  let truth = drawTruth(design, random)
  const successive = Array.from({ length: sweeps }, () => {
    const plates = printAll(design, truth, unknown, random)
    const { chain, layout } = chainAtTruth(plates, truth, random)
    chain.sweep(emptySums(layout))
    truth = readTruth(chain.state, layout, random)
    return quantities(truth, plates)
  })
  const names = Object.keys(marginal[0] ?? {})
  return new Map(
    names.map((name) => {
      const row = (rows: readonly Record<string, number>[]) => Float64Array.from(rows, (values) => values[name] ?? 0)
      return [name, differenceOf(row(marginal), row(successive))]
    }),
  )
}

function differenceOf(independent: Float64Array, chain: Float64Array): number {
  const [one, other] = [momentsOf(independent), momentsOf(chain)]
  const { effectiveSize } = convergenceOf([chain])
  return (one.mean - other.mean) / Math.sqrt(one.variance / independent.length + other.variance / effectiveSize)
}

function momentsOf(values: Float64Array): { mean: number; variance: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return { mean, variance: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1) }
}

/** First and second moments of the unknowns, and some of unknowns with reports. */
function quantities(truth: Truth, plates: readonly DrawnPlate[]): Record<string, number> {
  const [mu0 = 0, k0 = 0, k = 0, machine = 0, size = 0] = truth.hyper
  const [first, second] = truth.periods
  const line = truth.lines[0]?.pass ?? 0
  const failures = plates.flatMap(({ prints }) => prints.flatMap((print) => print.failures))
  const failedOfLine = plates.flatMap(({ prints }) => prints.filter((print) => print.line === 'line 0'))
  const share = failures.length / 30
  const snapped = failures.filter(({ seen }) => seen === 'supports snapped').length
  return {
    mu0,
    k0,
    k,
    machine,
    size,
    'mu0^2': mu0 ** 2,
    'k0^2': k0 ** 2,
    'k^2': k ** 2,
    'machine^2': machine ** 2,
    'size^2': size ** 2,
    mu: truth.mu[1]?.pass ?? 0,
    line,
    'line^2': line ** 2,
    'other line': truth.lines[1]?.fail ?? 0,
    'p in order': first?.inOrder.pass ?? 0,
    w: second?.worn.pass ?? 0,
    'w where worn': second && second.change < 4 ? second.worn.pass : 0.5,
    T: first?.change ?? 0,
    'T^2': (first?.change ?? 0) ** 2,
    h: truth.hazard,
    'h^2': truth.hazard ** 2,
    'p packed': truth.plates[2].pass,
    'p half empty': truth.plates[0].fail,
    eps: truth.blind,
    'eps^2': truth.blind ** 2,
    'rho file': truth.rho[0],
    'rho machine': truth.rho[1],
    'rho plate': truth.rho[2],
    'rho file^2': truth.rho[0] ** 2,
    'rho machine^2': truth.rho[1] ** 2,
    'rho plate^2': truth.rho[2] ** 2,
    'M snapped': truth.table[0][0] ?? 0,
    'M nothing stuck': truth.table[1][2] ?? 0,
    'M film': truth.table[2][4] ?? 0,
    failures: failures.length,
    'failures^2': share ** 2,
    snapped,
    'line and its failures': line * failedOfLine.reduce((sum, print) => sum + print.good, 0),
    'rho machine and failures': truth.rho[1] * share ** 2,
    'rho file and failures': truth.rho[0] * share ** 2,
    'rho plate and failures': truth.rho[2] * share ** 2,
    'M and snapped': (truth.table[0][0] ?? 0) * snapped,
    'eps and soft': truth.blind * failures.filter(({ seen }) => seen === 'soft detail').length,
    'T and failures': (first?.change ?? 0) * share,
    'k and line^2': k * line ** 2,
    'size and p^2': size * (first?.inOrder.pass ?? 0) ** 2,
  }
}
