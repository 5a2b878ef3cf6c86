import { drawsOf, keptOf, summaryOf } from '../../scoring/draws.ts'
import { type Fitted, fitGroup } from '../../scoring/fit.ts'
import { packGroupDraws } from '../../scoring/group-draws.ts'
import { seenLabels } from '../../scoring/labels.ts'
import { PlateColumns } from '../../scoring/layout.ts'
import type { Crowding } from '../../scoring/model.ts'
import { memberWeight } from '../../scoring/plates.ts'
import { type LineOfSculptor, lineKey, partsOf, sculptorKey } from './rules.ts'
import { bytesOf, type Rows } from './storing.ts'

/** A plate as it is read for a fit. */
export interface ToldPlate {
  id: string
  memberId: string
  periodId: string
  crowding: Crowding
  day: number
  prints: (ToldPrint & WeightedLine)[]
}

export interface ToldPrint {
  id: string
  good: number
  failures: { seen: string; copies: number }[]
}

export interface WeightedLine extends LineOfSculptor {
  fileWeight: number
}

/** What a fit says of the group as a whole. */
export interface FittedGroup {
  groupDraws: Uint8Array
  plates: number
  sweeps: number
  /** of whatever the chains agree on least */
  rhat: number
  effectiveSize: number
}

/** The steps of a fit that take computing, in their order: wherever they are carried out (fit-place.ts). */
export interface FitSteps {
  /** as often as there are plates */
  add(plates: readonly ToldPlate[]): Promise<void>
  /** @param longer with twice as many sweeps */
  fit(longer: boolean): Promise<FittedGroup>
  /** the next rows to be kept; none at the end */
  next(): Promise<Rows | undefined>
  /** nothing more is wanted */
  end(): Promise<void>
}

/** The steps, carried out here and now. */
export class FitWork implements FitSteps {
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

  async add(plates: readonly ToldPlate[]): Promise<void> {
    for (const { memberId, periodId, ...plate } of plates) {
      const prints = plate.prints.map((print) => ({ ...print, line: lineKey(print), sculptor: sculptorKey(print) }))
      this.#plates.add({ ...plate, period: periodId, prints })
      for (const { line, good, failures } of prints) {
        const key = `${memberId} ${line} ${periodId}`
        const share = this.#shares.get(key) ?? { copies: 0 }
        share.copies += failures.reduce((sum, { copies }) => sum + copies, good)
        this.#shares.set(key, share)
        this.#shareOfPrint.push(share)
      }
    }
  }

  async fit(longer: boolean): Promise<FittedGroup> {
    const { fileWeight } = this.#plates
    this.#shareOfPrint.forEach(({ copies }, print) => {
      fileWeight[print] = (fileWeight[print] ?? 0) * memberWeight(copies)
    })
    this.#shares.clear()
    const fitted = fitGroup(this.#plates, { longer, ...(this.#sweeps && { sweeps: this.#sweeps }) })
    this.#rows = rowsOf(fitted)
    const { hyper, worst } = fitted.convergence
    const all = [worst, ...Object.values(hyper)]
    return {
      groupDraws: bytesOf(packGroupDraws(fitted.group)),
      plates: fitted.layout.plateIds.length,
      sweeps: fitted.sweeps,
      rhat: Math.max(...all.map(({ rhat }) => rhat)),
      effectiveSize: Math.min(...all.map(({ effectiveSize }) => effectiveSize)),
    }
  }

  async next(): Promise<Rows | undefined> {
    return this.#rows.next().value
  }

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
