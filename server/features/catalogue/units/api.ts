import { type App, answers, byId, lists, makes, ofId, sameUntilWritten } from '../../../http/route.ts'
import { addUnit, changeUnit, listUnits, readUnit } from './queries.ts'
import { changedUnit, newUnit, unitList, unitSchema } from './schema.ts'

export function unitsApi(app: App): void {
  app.get('/units', { ...sameUntilWritten, ...lists(unitSchema, { querystring: unitList }) }, ({ db, query }) =>
    listUnits(db, query),
  )

  app.post('/units', makes(unitSchema, { body: newUnit }), ({ db, member, body }) => addUnit(db, member.id, body))

  app.get('/units/:id', { ...sameUntilWritten, ...answers(unitSchema, ofId) }, ({ db, params }) =>
    readUnit(db, params.id),
  )

  app.patch(
    '/units/:id',
    answers(unitSchema, { params: byId, body: changedUnit }),
    ({ db, member, params, body, wanted }) => changeUnit(db, member, params.id, body, wanted),
  )
}
