/** Input that the command refuses: one line for the person who made the file. */
export class Malformed extends Error {
  /** @param row counted from 1, the header being row 1 @param column its name, or its number where it has none */
  static at(row: number, column: string | number, reason: string): Malformed {
    return new Malformed(
      `row ${row}, column ${typeof column === 'number' ? column : JSON.stringify(column)}: ${reason}`,
    )
  }
}
