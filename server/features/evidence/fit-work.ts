import { drawsOf, keptOf, summaryOf } from '../../scoring/draws.ts'
import { type Fitted, fitGroup } from '../../scoring/fit.ts'
import { packGroupDraws } from '../../scoring/group-draws.ts'
import { seenLabels } from '../../scoring/labels.ts'
import { PlateColumns } from '../../scoring/layout.ts'
import type { Crowding } from '../../scoring/model.ts'
import { memberWeight } from '../../scoring/plates.ts'
import { bytesOf } from './kept.ts'
import { type LineOfSculptor, lineKey, partsOf, sculptorKey } from './rules.ts'
import type { Rows } from './storing.ts'

/** A plate as it is read for a fit. */
export interface ToldPlate {
  id: string
  memberId: string
  periodId: string
  crowding: Crowding
  day: number
  prints: (LineOfSculptor & {
    id: string
    good: number
    failures: { seen: string; copies: number }[]
    fileWeight: number
  })[]
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
  readonly #shares = new MemberShares()
  readonly #sweeps: number | undefined
  #rows: Iterator<Rows, undefined> = [].values()

  /** @param sweeps by chain; as many as a group of its size needs (fit.ts) when left out */
  constructor(sweeps?: number) {
    this.#sweeps = sweeps
  }

  async add(plates: readonly ToldPlate[]): Promise<void> {
    for (const { memberId, periodId, ...plate } of plates) {
      const prints = plate.prints.map((print) => ({ ...print, line: lineKey(print), sculptor: sculptorKey(print) }))
      const before = this.#plates.line.length
      this.#plates.add({ ...plate, period: periodId, prints })
      for (let print = before; print < this.#plates.line.length; print++) {
        const key = `${memberId} ${this.#plates.line[print]} ${this.#plates.period.at(-1)}`
        this.#shares.add(key, this.#plates.tried[print] ?? 0)
      }
    }
  }

  async fit(longer: boolean): Promise<FittedGroup> {
    this.#shares.weigh(this.#plates.fileWeight)
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

/** Copies of one member on one line and printer period, which share what they count. */
class MemberShares {
  readonly #numbers = new Map<string, number>()
  readonly #copies: number[] = []
  readonly #ofPrint: number[] = []

  add(key: string, copies: number): void {
    const number = this.#numbers.get(key) ?? this.#copies.push(0) - 1
    this.#numbers.set(key, number)
    this.#copies[number] = (this.#copies[number] ?? 0) + copies
    this.#ofPrint.push(number)
  }

  /** @param weights by print, which become less */
  weigh(weights: number[]): void {
    this.#ofPrint.forEach((number, print) => {
      weights[print] = (weights[print] ?? 0) * memberWeight(this.#copies[number] ?? 0)
    })
    this.#numbers.clear()
  }
}

/** Rows with draws, and without, that are handed over at once. */
const fewRows = 500
const manyRows = 5000

/** Everything that is kept of a fit, some rows at a time. */
function* rowsOf({ layout, lines, sculptors, periods, copies, worn, blame }: Fitted): Generator<Rows, undefined> {
  for (const some of portions(layout.lines.length, fewRows)) {
    const kept = some.map((line) => keptOf(lines, line))
    const shown = kept.map((own) => summaryOf(drawsOf(own)))
    const parts = some.map((line) => partsOf(layout.lines[line] ?? ''))
    yield {
      table: 'line_draws',
      columns: {
        file_id: parts.map(([id]) => id),
        kind: parts.map(([, kind]) => kind),
        draws: kept.map(hexOf),
        mean: shown.map(({ mean }) => mean),
        low: shown.map(({ low }) => low),
        high: shown.map(({ high }) => high),
        copies: some.map((line) => copies[line] ?? 0),
      },
    }
  }
  for (const some of portions(layout.sculptors.length, fewRows)) {
    const parts = some.map((sculptor) => partsOf(layout.sculptors[sculptor] ?? ''))
    const draws = some.map((sculptor) => hexOf(keptOf(sculptors, sculptor)))
    yield {
      table: 'sculptor_draws',
      columns: { sculptor_id: parts.map(([id]) => id), kind: parts.map(([, kind]) => kind), draws },
    }
  }
  for (const some of portions(layout.periods.length, fewRows)) {
    const last = some.map((period) => worn[(layout.periodStart[period + 1] ?? 0) - 1] ?? 0)
    const draws = some.map((period) => hexOf(keptOf(periods, period)))
    yield {
      table: 'period_draws',
      columns: { period_id: some.map((period) => layout.periods[period] ?? ''), draws, worn: last },
    }
  }
  for (const some of portions(layout.plateIds.length, manyRows)) {
    yield {
      table: 'plate_wear',
      columns: {
        plate_id: some.map((plate) => layout.plateIds[plate] ?? ''),
        worn: some.map((plate) => worn[plate] ?? 0),
      },
    }
  }
  for (const some of portions(layout.printIds.length, manyRows)) {
    const failed = some.filter((print) => layout.printIds[print] !== '')
    if (failed.length === 0) continue
    yield {
      table: 'print_blame',
      columns: {
        print_id: failed.map((print) => layout.printIds[print] ?? ''),
        file: failed.map((print) => blame.file[print] ?? 0),
        machine: failed.map((print) => blame.machine[print] ?? 0),
      },
    }
  }
}

/** 0 ... count - 1, so many at a time. */
function* portions(count: number, most: number): Generator<number[]> {
  for (let from = 0; from < count; from += most) {
    yield Array.from({ length: Math.min(most, count - from) }, (_, index) => from + index)
  }
}

const hexOf = (kept: Uint16Array) => bytesOf(kept).toString('hex')
