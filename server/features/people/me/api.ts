import type { App } from '../../../http/app-type.ts'
import { answers } from '../../../http/openapi.ts'
import { changedMe, meSchema } from '../members/schema.ts'
import { changeOneself } from './change-me.ts'
import { countPasswordTry, readMe } from './queries.ts'

/** What one reads and changes of oneself. */
export function meApi(app: App): void {
  app.get('/me', { schema: { response: answers(meSchema) } }, ({ db, member }) => readMe(db, member.id))

  app.patch('/me', { schema: { body: changedMe, response: answers(meSchema) } }, async (request, reply) => {
    if (request.body.password) await countPasswordTry(request.db, request.member.id, app.now())
    return changeOneself(request, reply, request.body, request.wanted)
  })
}
