import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, lists, makes } from '../../../http/openapi.ts'
import { addUnit, changeUnit, listUnits, readUnit } from './queries.ts'
import { changedUnit, newUnit, unitList, unitSchema } from './schema.ts'

export function unitsApi(app: App): void {
  app.get(
    '/units',
    { config: { sameUntilWritten: true }, schema: { querystring: unitList, response: lists(unitSchema) } },
    ({ db, query }) => listUnits(db, query),
  )

  app.post('/units', { schema: { body: newUnit, response: makes(unitSchema) } }, ({ db, member, body }) =>
    addUnit(db, member.id, body),
  )

  app.get(
    '/units/:id',
    { config: { sameUntilWritten: true }, schema: { params: byId, response: answers(unitSchema) } },
    ({ db, params }) => readUnit(db, params.id),
  )

  app.patch(
    '/units/:id',
    { schema: { params: byId, body: changedUnit, response: answers(unitSchema) } },
    ({ db, member, params, body, wanted }) => changeUnit(db, member, params.id, body, wanted),
  )
}
