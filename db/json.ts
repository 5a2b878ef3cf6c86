import {
  AliasNode,
  ColumnNode,
  type Expression,
  IdentifierNode,
  type RawBuilder,
  ReferenceNode,
  type SelectQueryNode,
  type ShallowDehydrateObject,
  type Simplify,
  sql,
} from 'kysely'

/** Rows as they come out of a JSON value: instants are texts. */
export type InJson<Row> = Simplify<ShallowDehydrateObject<Row>>[]

/**
 * The rows of a subquery as one JSON value of the row around it, in their order; `[]` where there are none. So a page gets
 * what hangs on its rows by the statement that reads them. Unlike with Kysely's own `jsonArrayFrom` the fields are called
 * as in every other row.
 */
export function jsonRows<Row>(query: Expression<Row>): RawBuilder<InJson<Row>> {
  const fields = namesOf(query.toOperationNode() as SelectQueryNode).flatMap((name) => [
    sql.lit(inCamelCase(name)),
    sql.ref(`one.${name}`),
  ])
  return sql`(select coalesce(json_agg(json_build_object(${sql.join(fields)})), '[]') from ${query} as one)`
}

/** As `CamelCasePlugin` would name it; the plugin leaves names inside a JSON value as they are. */
const inCamelCase = (column: string) => column.replace(/_([a-z0-9])/g, (_, first: string) => first.toUpperCase())

/** What the columns of a query are called, in the database's way. @throws TypeError for one without a name, as `select *` has */
function namesOf({ selections = [] }: SelectQueryNode): string[] {
  return selections.map(({ selection }) => {
    const named = ReferenceNode.is(selection) ? selection.column : selection
    if (ColumnNode.is(named)) return named.column.name
    if (AliasNode.is(named) && IdentifierNode.is(named.alias)) return named.alias.name
    throw new TypeError('every column of the rows needs a name')
  })
}
