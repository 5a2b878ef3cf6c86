import { Setup } from '../../../web/pages/Setup.tsx'
import type { App } from '../../http/app-type.ts'
import { countTry, placeOf } from '../../http/attempts.ts'
import { noted } from '../../http/events.ts'
import { blank, readForm } from '../../http/form.ts'
import { currencies } from '../../http/money.ts'
import { page, seeOther } from '../../http/page.tsx'
import { signIn } from '../../http/session.ts'
import { setupTries } from './api.ts'
import { checkSetupCode, expectEmpty, setUpGroup } from './queries.ts'
import { newGroup } from './schema.ts'

const open = { config: { access: 'public' as const } }

export function groupPages(app: App): void {
  const asksCode = app.asksSetupCode

  app.get('/setup', open, async (request, reply) => {
    await expectEmpty(request.db)
    const form = blank({ currency: 'EUR' })
    return page(request, reply, { title: 'Set up your group', children: <Setup {...{ form, asksCode, currencies }} /> })
  })

  app.post('/setup', open, async (request, reply) => {
    await expectEmpty(request.db)
    const form = readForm(newGroup, request.body, { verbatim: ['owner.password'] })
    const owner = await form.submit(async (data) => {
      await countTry(request.db, [`setup from ${placeOf(request.ip)}`], setupTries, app.now()).catch(noted(request))
      if (asksCode) await checkSetupCode(request.db, data.setupCode)
      return setUpGroup(request.db, data)
    })
    if (owner) {
      await signIn(request, reply, owner)
      return seeOther(reply, '/', 'set-up')
    }
    reply.code(422)
    return page(request, reply, { title: 'Set up your group', children: <Setup {...{ form, asksCode, currencies }} /> })
  })
}
