import { Setup } from '../../../../web/pages/Doors.tsx'
import { currencyChoices } from '../../../http/money.ts'
import { blank, page, readForm, seeOther } from '../../../http/page.tsx'
import { type App, forAll } from '../../../http/route.ts'
import { signIn } from '../../../http/sign-in.ts'
import { expectEmpty, setUp } from './queries.ts'
import { newGroup } from './schema.ts'

const title = 'Set up your group'
const lead =
  'Your group will work out here which file to print for a unit, and what it really costs to get it onto the table.'

export function groupPages(app: App): void {
  const given = { asksCode: app.asksSetupCode, currencies: currencyChoices() }

  app.get('/setup', forAll, async ({ db }, reply) => {
    await expectEmpty(db)
    const form = blank({ currency: 'EUR' })
    return page(reply, { title, lead, children: <Setup form={form} {...given} /> })
  })

  app.post('/setup', forAll, async (request, reply) => {
    await expectEmpty(request.db)
    const form = readForm(newGroup, request.body)
    const owner = await form.submit((data) => setUp(request, data))
    if (owner) {
      await signIn(reply, owner, 'set-up')
      return seeOther(reply, '/', 'set-up')
    }
    return page(reply.code(422), { title, lead, children: <Setup form={form} {...given} /> })
  })
}
