import { z } from 'zod'
import { countTry, placeOf } from '../../../http/attempts.ts'
import { note } from '../../../http/events.ts'
import { linkTo } from '../../../http/origin.ts'
import { type App, forAll, makes, ofId } from '../../../http/route.ts'
import { signIn } from '../../../http/sign-in.ts'
import { newCode } from '../invitations/queries.ts'
import { code, joinTries } from '../invitations/schema.ts'
import { newPassword, wayBackSchema } from '../members/schema.ts'
import { makeWayBack, takeWayBack } from './queries.ts'

export function wayBackApi(app: App): void {
  app.post(
    '/members/:id/way-back',
    { config: { access: 'steward', tellsOnce: true }, ...makes(wayBackSchema, ofId) },
    async (request) => {
      const made = newCode()
      const { expiresAt } = await makeWayBack(request.db, request.member, request.params.id, made, app.now())
      note(request, 'way back made', { memberId: request.params.id })
      return { url: linkTo(app, `/way-back/${made}`), expiresAt }
    },
  )

  app.post(
    '/way-back/:code',
    {
      ...forAll,
      ...makes(z.object({ memberId: z.string() }), { params: z.object({ code }), body: newPassword }),
    },
    async (request, reply) => {
      await countTry(request.db, [`way back from ${placeOf(request.ip)}`], joinTries, app.now())
      const back = await takeWayBack(request.db, request.params.code, request.body.password, app.now())
      await signIn(reply, back, 'way back')
      note(request, 'password changed', { memberId: back.id })
      return { memberId: back.id }
    },
  )
}
