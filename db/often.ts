import type { CompiledQuery } from 'kysely'
import type { ClientBase } from 'pg'
import type { Db } from './connect.ts'

/** Stands for a value in a statement that is built once; the value comes when it is asked. */
class Given {
  readonly name: string

  constructor(name: string) {
    this.name = name
  }

  /** @throws TypeError where it is used as if it were the value */
  [Symbol.toPrimitive](): never {
    throw new TypeError(`${this.name} has no value while its statement is built`)
  }
}

/**
 * A statement of a hot path. Kysely builds it once for this process, and PostgreSQL parses it once a connection and plans it
 * a few times only: building, parsing and planning are most of the work of a statement that joins a handful of tables.
 *
 * What is given may only stand where a value stands, and its text must not depend on it: no `in` with a list (take
 * `any`), no `$if`, no `sql.lit`.
 *
 * @param build makes the statement, with what will be given
 * @returns asks it. Within a transaction hand that over, as ever
 */
export function often<Row, Values extends object>(
  build: (db: Db, given: Values) => { compile(db: Db): CompiledQuery<Row> },
): (db: Db, given: Values) => Promise<Row[]> {
  const named = new Proxy({} as Values, { get: (_, name) => new Given(String(name)) })
  let built: CompiledQuery<Row> | undefined
  return async (db, given) => {
    built ??= kept(build(db, named).compile(db))
    const parameters = built.parameters.map((one) => (one instanceof Given ? given[one.name as keyof Values] : one))
    const asked: CompiledQuery<Row> = { ...built, parameters }
    return (await db.executeQuery(asked)).rows
  }
}

/** Under what name PostgreSQL keeps a statement, by its text. */
const names = new Map<string, string>()

function kept<Row>(statement: CompiledQuery<Row>): CompiledQuery<Row> {
  if (!names.has(statement.sql)) names.set(statement.sql, `often ${names.size + 1}`)
  return statement
}

/** Has a connection ask statements that come often by the name under which PostgreSQL keeps them. */
export function askByName(client: ClientBase): void {
  const ask = client.query
  const query = (text: unknown, values: unknown, ...rest: unknown[]) => {
    const name = typeof text === 'string' ? names.get(text) : undefined
    return Reflect.apply(ask, client, name ? [{ name, text, values }, ...rest] : [text, values, ...rest])
  }
  Object.assign(client, { query })
}
