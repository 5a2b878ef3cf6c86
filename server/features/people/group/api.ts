import { z } from 'zod'
import { type App, forAll, makes } from '../../../http/route.ts'
import { signIn } from '../../../http/sign-in.ts'
import { expectEmpty, setUp } from './queries.ts'
import { newGroup } from './schema.ts'

export function groupApi(app: App): void {
  app.post(
    '/setup',
    { ...forAll, ...makes(z.object({ memberId: z.string() }), { body: newGroup }) },
    async (request, reply) => {
      await expectEmpty(request.db)
      const owner = await setUp(request, request.body)
      await signIn(reply, owner, 'set-up')
      return { memberId: owner.id }
    },
  )
}
