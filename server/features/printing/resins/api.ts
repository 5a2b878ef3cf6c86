import { type App, answers, byId, lists, makes, noContent, ofId } from '../../../http/route.ts'
import { addResin, changeResin, listResins, readResin, removeResin } from './queries.ts'
import { changedResin, newResin, resinList, resinSchema } from './schema.ts'

/** A member's bottles: nobody else reads or changes them. */
export function resinsApi(app: App): void {
  app.get('/resins', lists(resinSchema, { querystring: resinList }), ({ db, member, query }) =>
    listResins(db, member, query),
  )

  app.post('/resins', makes(resinSchema, { body: newResin }), ({ db, member, body }) => addResin(db, member, body))

  app.get('/resins/:id', answers(resinSchema, ofId), ({ db, member, params }) => readResin(db, member, params.id))

  app.patch(
    '/resins/:id',
    answers(resinSchema, { params: byId, body: changedResin }),
    ({ db, member, params, body, wanted }) => changeResin(db, member, params.id, body, wanted),
  )

  app.delete('/resins/:id', noContent(ofId), async ({ db, member, params, wanted }) => {
    await removeResin(db, member, params.id, wanted)
  })
}
