import type { App } from '../../../http/app-type.ts'
import { problems } from '../../../http/openapi.ts'
import { sendVersion, versionToChange } from '../../../http/version.ts'
import { changedMe, meSchema } from '../members/schema.ts'
import { changeOneself } from './change-me.ts'
import { countPasswordTry, readMe } from './queries.ts'

/** What one reads and changes of oneself. */
export function meApi(app: App): void {
  app.get('/me', { schema: { response: { 200: meSchema, ...problems } } }, async (request, reply) => {
    const me = await readMe(request.db, request.member.id)
    sendVersion(reply, me.version)
    return me
  })

  app.patch(
    '/me',
    { schema: { body: changedMe, response: { 200: meSchema, ...problems } } },
    async (request, reply) => {
      const wanted = versionToChange(request, true)
      if (request.body.password) await countPasswordTry(request.db, request.member.id, app.now())
      const me = await changeOneself(request, reply, request.body, wanted)
      sendVersion(reply, me.version)
      return me
    },
  )
}
