import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { NewRequest } from '../../../../web/pages/NewRequest.tsx'
import type { FormState } from '../../../../web/parts/form.tsx'
import { currenciesFrom } from '../../../http/money.ts'
import { blank, once, page, readForm, seeOther } from '../../../http/page.tsx'
import type { App } from '../../../http/route.ts'
import { withShadow } from '../../catalogue/measures/units-drawn.ts'
import { type Draft, draftOf } from './draft.ts'
import { postRequest } from './queries.ts'
import { newRequest } from './schema.ts'

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
