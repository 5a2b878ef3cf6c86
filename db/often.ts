import {
  type CompiledQuery,
  type Kysely,
  type KyselyPlugin,
  OperationNodeTransformer,
  type PrimitiveValueListNode,
  type RawBuilder,
  sql,
  ValueListNode,
  ValueNode,
} from 'kysely'
import type { ClientBase } from 'pg'
import type { Tables } from './tables.ts'

type Db = Kysely<Tables>

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
 * Its text may depend on which values are given (`$if(state !== undefined, …)`; one statement is built for each such
 * choice), but not on what they are: no `in` with a list (take `any`), no `sql.lit`.
 *
 * @param build makes the statement, with something that stands for each value that will be given
 * @returns asks it. Within a transaction hand that over, as ever
 */
export function often<Row, Values extends object>(
  build: (db: Db, given: Values) => { compile(db: Db): CompiledQuery<Row> },
): (db: Db, given: Values) => Promise<Row[]> {
  const built = new Map<string, CompiledQuery<Row>>()
  return async (db, given) => {
    const names = Object.keys(given).filter((name) => given[name as keyof Values] !== undefined)
    const which = names.join(' ')
    const statement = built.get(which) ?? kept(compiled(db, (on) => build(on, standingFor<Values>(names))))
    built.set(which, statement)
    const parameters = statement.parameters.map((one) => (one instanceof Given ? given[one.name as keyof Values] : one))
    const asked: CompiledQuery<Row> = { ...statement, parameters }
    return (await db.executeQuery(asked)).rows
  }
}

/**
 * A value that PostgreSQL does not see while it plans, so that it settles for one plan. Of a list it takes ten entries for
 * likely; wherever it sees fewer, or a value that it has counted few of, it hopes for a better plan than the one it has, and
 * plans anew every time, which takes longer than the statement itself.
 */
export const unseen = <Value>(value: Value, type: 'uuid' | 'uuid[]'): RawBuilder<Value> =>
  sql`(select ${value}::${sql.raw(type)})::${sql.raw(type)}`

const standingFor = <Values>(names: readonly string[]) =>
  Object.fromEntries(names.map((name) => [name, new Given(name)])) as Values

const compiled = <Row>(db: Db, build: (on: Db) => { compile(on: Db): CompiledQuery<Row> }) => {
  const on = db.withPlugin(constantsInText)
  return build(on).compile(on)
}

/**
 * Writes what is the same every time into the text, where Kysely hands it over as it does what is given: PostgreSQL would not
 * know it either while it makes the one plan, and takes a worse one for it, or plans anew.
 */
class ConstantsInText extends OperationNodeTransformer {
  protected override transformValue(node: ValueNode): ValueNode {
    return isPlain(node.value) ? ValueNode.createImmediate(node.value) : node
  }

  protected override transformPrimitiveValueList(node: PrimitiveValueListNode): PrimitiveValueListNode {
    const list = ValueListNode.create(node.values.map((value) => this.transformValue(ValueNode.create(value))))
    // Kysely writes both kinds of list alike.
    return list as unknown as PrimitiveValueListNode
  }
}

const isPlain = (value: unknown) => value === null || ['string', 'number', 'boolean'].includes(typeof value)

const constants = new ConstantsInText()
const constantsInText: KyselyPlugin = {
  transformQuery: ({ node, queryId }) => constants.transformNode(node, queryId),
  transformResult: async ({ result }) => result,
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
