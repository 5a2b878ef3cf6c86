import { type App, answers, byId, makes, noContent, ofId } from '../../../http/route.ts'
import { newUpkeep, upkeepSchema } from '../printers/schema.ts'
import { noteUpkeep, readUpkeep, takeUpkeepBack } from './queries.ts'

export function upkeepApi(app: App): void {
  app.post(
    '/printers/:id/upkeep',
    makes(upkeepSchema, { params: byId, body: newUpkeep }),
    ({ db, member, params, body, wanted }) => noteUpkeep(db, member, params.id, body, { wanted, now: app.now() }),
  )

  app.get('/upkeep/:id', answers(upkeepSchema, ofId), ({ db, params }) => readUpkeep(db, params.id))

  app.delete('/upkeep/:id', noContent(ofId), ({ db, member, params, wanted }) =>
    takeUpkeepBack(db, member, params.id, wanted),
  )
}
