import { z } from 'zod'
import { WayBack } from '../../../../web/pages/Doors.tsx'
import { countTry, placeOf } from '../../../http/attempts.ts'
import { note } from '../../../http/events.ts'
import { blank, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, at, forAll } from '../../../http/route.ts'
import { signIn } from '../../../http/sign-in.ts'
import { code, joinTries } from '../invitations/schema.ts'
import { newPassword } from '../members/schema.ts'
import { openWayBack, takeWayBack } from './queries.ts'

const open = { ...forAll, ...at(z.object({ code })) }
const title = 'Back into the group'

/** Behind the link that a steward makes for a member who forgot their password. */
export function wayBackPages(app: App): void {
  app.get('/way-back/:code', open, async ({ db, params, ip }, reply) => {
    await countTry(db, [`way back from ${placeOf(ip)}`], joinTries, app.now())
    const { name } = await openWayBack(db, params.code, app.now())
    const props = { name, code: params.code, form: blank() }
    return page(reply, { title, children: <WayBack {...props} /> })
  })

  app.post('/way-back/:code', open, async (request, reply) => {
    await countTry(request.db, [`way back from ${placeOf(request.ip)}`], joinTries, app.now())
    const { name } = await openWayBack(request.db, request.params.code, app.now())
    const form = readForm(newPassword, request.body)
    const done = await form.submit(({ password }) => takeWayBack(request.db, request.params.code, password, app.now()))
    if (done) {
      await signIn(reply, done, 'way back')
      note(request, 'password changed', { memberId: done.id })
      return seeOther(reply, '/', 'back-in')
    }
    reply.code(422)
    const props = { name, code: request.params.code, form }
    return page(reply, { title, children: <WayBack {...props} /> })
  })
}
