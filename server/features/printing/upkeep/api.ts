import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes, noContent } from '../../../http/openapi.ts'
import { changedUpkeep, newUpkeep, upkeepSchema } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack } from './changes.ts'
import { noteUpkeep } from './queries.ts'

export function upkeepApi(app: App): void {
  app.post(
    '/printers/:id/upkeep',
    { schema: { params: byId, body: newUpkeep, response: makes(upkeepSchema) } },
    ({ db, member, params, body, wanted }) => noteUpkeep(db, member, params.id, body, { wanted, now: app.now() }),
  )

  app.get('/upkeep/:id', { schema: { params: byId, response: answers(upkeepSchema) } }, ({ db, params }) =>
    readUpkeep(db, params.id),
  )

  app.patch(
    '/upkeep/:id',
    { schema: { params: byId, body: changedUpkeep, response: answers(upkeepSchema) } },
    ({ db, member, params, body, wanted }) => changeUpkeep(db, member, params.id, body, { wanted, now: app.now() }),
  )

  app.delete('/upkeep/:id', { schema: { params: byId, response: noContent } }, ({ db, member, params, wanted }) =>
    takeUpkeepBack(db, member, params.id, wanted),
  )
}
