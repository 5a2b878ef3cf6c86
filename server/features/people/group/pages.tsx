import { Setup } from '../../../../web/pages/Doors.tsx'
import type { App } from '../../../http/app-type.ts'
import { blank, readForm } from '../../../http/form.ts'
import { currencies } from '../../../http/money.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { signIn } from '../../../http/sign-in.ts'
import { expectEmpty } from './queries.ts'
import { newGroup } from './schema.ts'
import { setUp } from './set-up.ts'

const title = 'Set up your group'
const lead =
  'Your group will work out here which file to print for a unit, and what it really costs to get it onto the table.'
const open = { config: { access: 'public' as const } }

export function groupPages(app: App): void {
  const asksCode = app.asksSetupCode

  app.get('/setup', open, async ({ db }, reply) => {
    await expectEmpty(db)
    const form = blank({ currency: 'EUR' })
    return page(reply, { title, lead, children: <Setup {...{ form, asksCode, currencies }} /> })
  })

  app.post('/setup', open, async (request, reply) => {
    await expectEmpty(request.db)
    const form = readForm(newGroup, request.body)
    const owner = await form.submit((data) => setUp(request, data))
    if (owner) {
      await signIn(reply, owner, 'set-up')
      return seeOther(reply, '/', 'set-up')
    }
    return page(reply.code(422), { title, lead, children: <Setup {...{ form, asksCode, currencies }} /> })
  })
}
