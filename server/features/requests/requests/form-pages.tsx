import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { EditRequest, NewRequest } from '../../../../web/pages/EditRequest.tsx'
import { requestTitle } from '../../../../web/pages/RequestHead.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { expectMayChange } from '../../../http/access.ts'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, madeFrom, once, page, readForm, seeOther, valuesFrom } from '../../../http/page.tsx'
import { notFound } from '../../../http/problem.ts'
import { type App, withId } from '../../../http/route.ts'
import { withShadow } from '../../catalogue/measures/drawn.ts'
import { type Draft, draftOf } from './draft.ts'
import { changeRequest, postRequest, readRequest, whoChangesRequests } from './queries.ts'
import { changedRequest, newRequest, type Request } from './schema.ts'

const prefill = z.object({
  unitId: z.uuid().optional().catch(undefined),
  name: z.string().trim().max(120).default('').catch(''),
})

/** The form that asks for a stand-in. */
export function newRequestPages(app: App): void {
  app.get('/requests/new', { schema: { querystring: prefill } }, async ({ db, member, query }, reply) => {
    const draft = await draftOf(db, member, { unitId: query.unitId, unitName: query.name })
    const { currency } = member.group
    return newPage(reply, draft, blank({ ...draft.values, 'budget.currency': currency }))
  })

  app.post('/requests/new', async ({ db, member, body }, reply) => {
    const draft = await draftOf(db, member, body)
    const form = readForm(newRequest, draft.body)
    const posted = draft.question ? undefined : await form.submit((data) => postRequest(db, member, data))
    if (posted) return seeOther(reply, `/requests/${posted.id}`, 'request-posted')
    const { unitId, ...errors } = form.errors
    const question = draft.question ?? unitId
    return newPage(reply.code(422), draft, {
      values: { ...form.values, ...draft.values },
      errors: { ...(question && { unitName: question }), ...errors },
    })
  })
}

async function newPage(reply: FastifyReply, draft: Draft, form: FormState) {
  const { standIns, found } = draft
  const unit = draft.unit && (await withShadow(reply.request.db, draft.unit))
  // Whoever gets this page has seen the stand-ins of its unit.
  const hidden = { ...once(), ...(unit && { seen: unit.id }) }
  const currencies = currenciesFrom(reply.request.member.group.currency)
  const props = { unit, standIns, found, hidden, form, currencies }
  return page(reply, { title: 'Ask for a stand-in', children: <NewRequest {...props} /> })
}

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
