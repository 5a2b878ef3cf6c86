/** Input that a command refuses: one line for the person who made the file. */
export class Malformed extends Error {
  /** @param row counted from 1, the header being row 1 @param column its name, or its number where it has none */
  static at(row: number, column: string | number, reason: string): Malformed {
    return new Malformed(
      `row ${row}, column ${typeof column === 'number' ? column : JSON.stringify(column)}: ${reason}`,
    )
  }
}

/** Runs a command, and says what it refuses. */
export async function orRefused(command: () => void | Promise<void>): Promise<void> {
  try {
    await command()
  } catch (error) {
    if (!(error instanceof Malformed)) throw error
    console.error(error.message.replaceAll(/\s+/g, ' '))
    process.exitCode = 2
  }
}
