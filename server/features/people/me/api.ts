import { type App, answers } from '../../../http/route.ts'
import { changedMe, meSchema } from '../members/schema.ts'
import { changeOneself, countPasswordTry, readMe } from './queries.ts'

/** What one reads and changes of oneself. */
export function meApi(app: App): void {
  app.get('/me', answers(meSchema), ({ db, member }) => readMe(db, member.id))

  app.patch('/me', answers(meSchema, { body: changedMe }), async ({ db, member, body, wanted }, reply) => {
    if (body.password) await countPasswordTry(db, member.id, app.now())
    return changeOneself(reply, body, wanted)
  })
}
