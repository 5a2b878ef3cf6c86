import { z } from 'zod'
import type { App } from '../../http/app-type.ts'
import { countTry, placeOf } from '../../http/attempts.ts'
import { problems } from '../../http/openapi.ts'
import { signIn } from '../../http/session.ts'
import { checkSetupCode, expectEmpty, setUpGroup } from './queries.ts'
import { newGroup } from './schema.ts'

/** How often somebody may try the set-up code. */
export const setupTries = { tries: 10, windowS: 900 }

export function groupApi(app: App): void {
  app.post(
    '/setup',
    {
      config: { access: 'public' },
      schema: {
        summary: 'Set up the group and its owner, once, on an empty installation',
        body: newGroup,
        response: { 201: z.object({ memberId: z.string() }), ...problems },
      },
    },
    async (request, reply) => {
      await expectEmpty(request.db)
      await countTry(request.db, [`setup from ${placeOf(request.ip)}`], setupTries, app.now())
      if (app.asksSetupCode) await checkSetupCode(request.db, request.body.setupCode)
      const owner = await setUpGroup(request.db, request.body)
      await signIn(request, reply, owner)
      reply.code(201)
      return { memberId: owner.id }
    },
  )
}
