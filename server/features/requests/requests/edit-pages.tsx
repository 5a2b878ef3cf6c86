import type { FastifyReply } from 'fastify'
import { EditRequest } from '../../../../web/pages/EditRequest.tsx'
import { requestTitle } from '../../../../web/pages/RequestHead.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, madeFrom, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { notFound } from '../../../http/problem.ts'
import { type App, withId } from '../../../http/route.ts'
import { withShadow } from '../../catalogue/measures/units-drawn.ts'
import { changeRequest, readRequest, whoChangesRequests } from './queries.ts'
import { changedRequest, type Request } from './schema.ts'

/** The form that changes what a request asks for. */
export function requestEditPages(app: App): void {
  app.get('/requests/:id/edit', withId, async ({ db, member, params }, reply) => {
    const asked = await readRequest(db, member, params.id)
    if (asked.state !== 'open') throw notFound('open request')
    expectMayChange(member, asked.asker.id, whoChangesRequests)
    return editPage(reply, asked, blank(valuesOf(asked, member.group.currency)))
  })

  app.post('/requests/:id/edit', withId, async ({ db, member, params: { id }, body, wanted }, reply) => {
    const form = readForm(changedRequest, body, { whole: true })
    const changed = await form.submit((data) => changeRequest(db, member, id, data, wanted))
    if (changed) return seeOther(reply, `/requests/${id}`, 'saved')
    return editPage(reply.code(422), await readRequest(db, member, id), form)
  })
}

async function editPage(reply: FastifyReply, asked: Request, form: FormState) {
  const { db, member } = reply.request
  const hidden = madeFrom(asked.version)
  const drawn = { ...asked, unit: await withShadow(db, asked.unit) }
  const props = { request: drawn, form, hidden, currencies: currenciesFrom(member.group.currency) }
  return page(reply, { title: `Change: ${requestTitle(asked)}`, children: <EditRequest {...props} /> })
}

const valuesOf = ({ wanted, mustHaves, budget, neededBy, remark }: Request, currency: string) => ({
  ...valuesFrom({ wanted, budget: budget ?? { currency }, neededBy, remark }),
  mustHaves: mustHaves.join('\n'),
})
