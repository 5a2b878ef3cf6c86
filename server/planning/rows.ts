import type { ModelData } from 'highs'

/** A mixed-integer model in the making: columns first, then rows over them. Minimised. */
export class Rows {
  readonly #cost: number[] = []
  readonly #integer: number[] = []
  readonly #rowLower: number[] = []
  readonly #rowUpper: number[] = []
  readonly #starts: number[] = [0]
  readonly #indices: number[] = []
  readonly #values: number[] = []

  /** @returns place of the new column, which is from 0 to 1 */
  column(cost: number, { integer = false } = {}): number {
    this.#integer.push(integer ? 1 : 0)
    return this.#cost.push(cost) - 1
  }

  /** Adds low <= sum of value x column <= high; no column may be there twice. */
  row(low: number, high: number, terms: Iterable<readonly [column: number, value: number]>): void {
    for (const [column, value] of terms) {
      this.#indices.push(column)
      this.#values.push(value)
    }
    this.#starts.push(this.#indices.length)
    this.#rowLower.push(low)
    this.#rowUpper.push(high)
  }

  /** The model as the solver takes it. */
  data(): ModelData {
    const [numCols, numRows] = [this.#cost.length, this.#rowLower.length]
    return {
      numCols,
      numRows,
      colCost: Float64Array.from(this.#cost),
      colLower: new Float64Array(numCols),
      colUpper: new Float64Array(numCols).fill(1),
      rowLower: Float64Array.from(this.#rowLower),
      rowUpper: Float64Array.from(this.#rowUpper),
      integrality: Int32Array.from(this.#integer),
      matrix: {
        format: 'csr',
        numRows,
        numCols,
        starts: Int32Array.from(this.#starts),
        indices: Int32Array.from(this.#indices),
        values: Float64Array.from(this.#values),
      },
    }
  }
}

/** The plain sum of these columns. */
export function ones(columns: Iterable<number>): (readonly [column: number, value: number])[] {
  return Array.from(columns, (column) => [column, 1] as const)
}
