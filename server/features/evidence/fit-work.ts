import { drawsOf, keptOf, summaryOf } from '../../scoring/draws.ts'
import { type Fitted, fitGroup } from '../../scoring/fit.ts'
import { packGroupDraws } from '../../scoring/group-draws.ts'
import { seenLabels } from '../../scoring/labels.ts'
import { PlateColumns } from '../../scoring/layout.ts'
import { memberWeight, type Plate } from '../../scoring/plates.ts'
import { partsOf } from './rules.ts'
import { bytesOf, type Rows } from './storing.ts'

/** A plate as it is read for a fit. */
export interface ToldPlate extends Plate {
  memberId: string
}

/** What a fit says of the group as a whole. */
export type FittedGroup = Awaited<ReturnType<FitWork['fit']>>

/** The steps of a fit that take computing, in their order: wherever they are carried out (fit-place.ts). */
export type FitSteps = Pick<FitWork, 'add' | 'fit' | 'next'> & { end(): Promise<unknown> }

/** The steps, carried out here and now. */
export class FitWork {
  readonly #plates = new PlateColumns(Object.keys(seenLabels))
  /** copies of one member on one line and printer period, which share what they count */
  readonly #shares = new Map<string, { copies: number }>()
  readonly #shareOfPrint: { copies: number }[] = []
  readonly #sweeps: number | undefined
  #rows: Iterator<Rows, undefined> = [].values()

  /** @param sweeps by chain; as many as a group of its size needs (fit.ts) when left out */
  constructor(sweeps?: number) {
    this.#sweeps = sweeps
  }

  /** As often as there are plates. */
  async add(plates: readonly ToldPlate[]): Promise<void> {
    for (const plate of plates) {
      this.#plates.add(plate)
      for (const { line, good, failures } of plate.prints) {
        const key = `${plate.memberId} ${line} ${plate.period}`
        const share = this.#shares.get(key) ?? { copies: 0 }
        share.copies += failures.reduce((sum, { copies }) => sum + copies, good)
        this.#shares.set(key, share)
        this.#shareOfPrint.push(share)
      }
    }
  }

  /** @param longer with twice as many sweeps */
  async fit(longer: boolean) {
    const { fileWeight } = this.#plates
    this.#shareOfPrint.forEach(({ copies }, print) => {
      fileWeight[print] = (fileWeight[print] ?? 0) * memberWeight(copies)
    })
    this.#shares.clear()
    const fitted = fitGroup(this.#plates, { longer, sweeps: this.#sweeps })
    this.#rows = rowsOf(fitted)
    const groupDraws: Uint8Array = bytesOf(packGroupDraws(fitted.group))
    const { hyper, worst } = fitted.convergence
    const all = [worst, ...Object.values(hyper)]
    return {
      groupDraws,
      plates: fitted.layout.plateIds.length,
      sweeps: fitted.sweeps,
      /** of whatever the chains agree on least */
      rhat: Math.max(...all.map(({ rhat }) => rhat)),
      effectiveSize: Math.min(...all.map(({ effectiveSize }) => effectiveSize)),
    }
  }

  /** The next rows to be kept; none at the end. */
  async next(): Promise<Rows | undefined> {
    return this.#rows.next().value
  }

  /** Nothing more is wanted. */
  async end(): Promise<void> {}
}

/** Rows with draws, and without, that are handed over at once. */
const fewRows = 500
const manyRows = 5000

/** Everything that is kept of a fit, some rows at a time. */
function* rowsOf({ layout, lines, sculptors, periods, copies, worn, blame }: Fitted): Generator<Rows, undefined> {
  yield* portions('line_draws', layout.lines, fewRows, (name, line) => {
    const kept = keptOf(lines, line)
    const [file_id, kind] = partsOf(name)
    return { file_id, kind, draws: hexOf(kept), ...summaryOf(drawsOf(kept)), copies: copies[line] }
  })
  yield* portions('sculptor_draws', layout.sculptors, fewRows, (name, sculptor) => {
    const [sculptor_id, kind] = partsOf(name)
    return { sculptor_id, kind, draws: hexOf(keptOf(sculptors, sculptor)) }
  })
  yield* portions('period_draws', layout.periods, fewRows, (period_id, period) => {
    return { period_id, draws: hexOf(keptOf(periods, period)), worn: worn[(layout.periodStart[period + 1] ?? 0) - 1] }
  })
  yield* portions('plate_wear', layout.plateIds, manyRows, (plate_id, plate) => ({ plate_id, worn: worn[plate] }))
  yield* portions('print_blame', layout.printIds, manyRows, (print_id, print) => {
    return print_id === '' ? undefined : { print_id, file: blame.file[print], machine: blame.machine[print] }
  })
}

function* portions(
  table: Rows['table'],
  names: readonly string[],
  most: number,
  rowOf: (name: string, index: number) => object | undefined,
): Generator<Rows> {
  for (let from = 0; from < names.length; from += most) {
    const rows = names.slice(from, from + most).flatMap((name, at) => rowOf(name, from + at) ?? [])
    if (rows.length > 0) yield { table, rows: JSON.stringify(rows) }
  }
}

/** As PostgreSQL reads bytes. */
const hexOf = (kept: Uint16Array) => `\\x${bytesOf(kept).toString('hex')}`
