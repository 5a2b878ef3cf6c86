import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { answers, makes, noContent } from '../../../http/openapi.ts'
import { changedUpkeep, newUpkeep, upkeepSchema } from '../printers/schema.ts'
import { changeUpkeep, readUpkeep, takeUpkeepBack } from './changes.ts'
import { noteUpkeep } from './queries.ts'

export function upkeepApi(app: App): void {
  app.post(
    '/printers/:id/upkeep',
    makes(upkeepSchema, { params: byId, body: newUpkeep }),
    ({ db, member, params, body, wanted }) => noteUpkeep(db, member, params.id, body, { wanted, now: app.now() }),
  )

  app.get('/upkeep/:id', answers(upkeepSchema, { params: byId }), ({ db, params }) => readUpkeep(db, params.id))

  app.patch(
    '/upkeep/:id',
    answers(upkeepSchema, { params: byId, body: changedUpkeep }),
    ({ db, member, params, body, wanted }) => changeUpkeep(db, member, params.id, body, { wanted, now: app.now() }),
  )

  app.delete('/upkeep/:id', noContent({ params: byId }), ({ db, member, params, wanted }) =>
    takeUpkeepBack(db, member, params.id, wanted),
  )
}
