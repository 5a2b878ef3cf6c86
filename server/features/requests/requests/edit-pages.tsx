import type { FastifyReply, FastifyRequest } from 'fastify'
import { EditRequest } from '../../../../web/pages/EditRequest.tsx'
import { requestTitle } from '../../../../web/pages/RequestHead.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import type { App } from '../../../http/app-type.ts'
import { byId } from '../../../http/fields.ts'
import { blank, madeFrom, readForm, valuesFrom } from '../../../http/form.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { page, seeOther } from '../../../http/page.tsx'
import { notFound } from '../../../http/problem.ts'
import { withShadow } from '../../catalogue/measures/units-drawn.ts'
import { changeRequest, readRequest, whoChangesRequests } from './queries.ts'
import { changedRequest, type Request } from './schema.ts'

/** The form that changes what a request asks for. */
export function requestEditPages(app: App): void {
  app.get('/requests/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const asked = await readRequest(request.db, request.member, request.params.id)
    if (asked.state !== 'open') throw notFound('open request')
    expectMayChange(request.member, asked.asker.id, whoChangesRequests)
    return editPage(request, reply, asked, blank(valuesOf(asked, request.member.group.currency)))
  })

  app.post('/requests/:id/edit', { schema: { params: byId } }, async (request, reply) => {
    const { id } = request.params
    const form = readForm(changedRequest, request.body, { whole: true })
    const wanted = request.wanted
    const changed = await form.submit((data) => changeRequest(request.db, request.member, id, data, wanted))
    if (changed) return seeOther(reply, `/requests/${id}`, 'saved')
    return editPage(request, reply.code(422), await readRequest(request.db, request.member, id), form)
  })
}

async function editPage(request: FastifyRequest, reply: FastifyReply, asked: Request, form: FormState) {
  const hidden = madeFrom(asked.version)
  const drawn = { ...asked, unit: await withShadow(request.db, asked.unit) }
  const props = { request: drawn, form, hidden, currencies: currenciesFrom(request.member.group.currency) }
  return page(request, reply, { title: `Change: ${requestTitle(asked)}`, children: <EditRequest {...props} /> })
}

const valuesOf = ({ wanted, mustHaves, budget, neededBy, remark }: Request, currency: string) => ({
  ...valuesFrom({ wanted, budget: budget ?? { currency }, neededBy, remark }),
  mustHaves: mustHaves.join('\n'),
})
