import type { Random } from '../../server/scoring/random.ts'
import { type Design, type DrawnPlate, drawTruth, printAll, smallDesign, type Truth, Urn } from './drawn-group.ts'
import type { World } from './world.ts'

/** A group that is drawn from the model and its priors to the letter. */
export function inventAsAssumed({ reports, members }: { reports: number; members: number }, random: Random): World {
  const lines = Math.max(5, Math.round(1.1 * reports ** 0.75))
  const sizes = { lines, sculptors: 2 + Math.floor(lines / 5), periods: 2 * members, plates: reports, copies: 8 }
  const design = smallDesign(sizes, random)
  const truth = drawTruth(design, random)
  const plates = printAll(design, truth, 0.25, random)
  const [, , , machine] = truth.hyper
  return {
    plates,
    lines: new Map(
      truth.lines.map(({ pass }, line) => {
        return [`line ${line}`, { sculptor: `sculptor ${design.sculptorOfLine[line]}`, success: pass }]
      }),
    ),
    machines: new Map(truth.periods.map((_, period) => [nameOf(period), machineAt(truth, design, period).pass])),
    causes: new Map(plates.filter(({ causes }) => causes.length > 0).map(({ id, causes }) => [id, sharesOf(causes)])),
    fullPlate: truth.plates[1].pass,
    inOrder: 1 / (1 + Math.exp(-machine)),
    own: ownOf(plates),
    fadedFor: new Map(),
    printed: reports,
    printNext: (line, period, copies, stream) =>
      printNext(
        truth,
        design,
        { line: Number(line.split(' ')[1]), period: Number(period.split(' ')[1]), copies },
        stream,
      ),
  }
}

const nameOf = (period: number) => `period ${String(period).padStart(3, '0')}`

/** As its last plate found it. */
function machineAt({ periods }: Truth, design: Design, period: number) {
  const { inOrder, worn, change } = periods[period] as Truth['periods'][number]
  return change < (design.periods[period]?.length ?? 0) ? worn : inOrder
}

function sharesOf(causes: readonly number[]): [file: number, machine: number, plate: number] {
  const share = (stage: number) => {
    const borne = causes.map((cause) => {
      const size = [0, 1, 2].filter((one) => cause & (1 << one)).length
      return cause & (1 << stage) ? 1 / size : 0
    })
    return borne.reduce((sum, value) => sum + value, 0) / causes.length
  }
  return [share(0), share(1), share(2)]
}

/** By line, copies and how many of them the file itself did not let down. */
function ownOf(plates: readonly DrawnPlate[]): World['own'] {
  const own: World['own'] = new Map()
  for (const { prints, causes } of plates) {
    let first = 0
    for (const { line, good, failures } of prints) {
      const failed = causes.slice(first, first + failures.length)
      first += failures.length
      const { good: before, tried } = own.get(line) ?? { good: 0, tried: 0 }
      const passed = good + failed.filter((cause) => !(cause & 1)).length
      own.set(line, { good: before + passed, tried: tried + good + failures.length })
    }
  }
  return own
}

type Next = { line: number; period: number; copies: number }

/** A machine in order may begin to be worn with its next plate. */
function printNext(truth: Truth, design: Design, { line, period, copies }: Next, random: Random): number {
  const known = machineAt(truth, design, period)
  const { inOrder, worn } = truth.periods[period] as Truth['periods'][number]
  const machine = known === inOrder && random.uniform() < truth.hazard ? worn : known
  const file = truth.lines[line] ?? { pass: Number.NaN, fail: Number.NaN }
  const urns = [new Urn(file, truth.rho[0]), new Urn(machine, truth.rho[1]), new Urn(truth.plates[1], truth.rho[2])]
  let good = 0
  for (let copy = 0; copy < copies; copy++) {
    const failed = urns.filter((urn) => urn.fails(random))
    if (failed.length === 0) good++
  }
  return good
}
